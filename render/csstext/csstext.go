// Package csstext writes texts into style sheets.
//
// In: a text. Out: a string of CSS. It imports nothing of the project.
package csstext

import (
	"fmt"
	"strings"
)

// String writes a text as a string of a style sheet (CSS Syntax 3, 4.3.5). What
// could end the string, the line or a style element is written by its number.
func String(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, c := range s {
		if c < ' ' || strings.ContainsRune(`"\<&`, c) {
			fmt.Fprintf(&b, `\%x `, c)
		} else {
			b.WriteRune(c)
		}
	}
	b.WriteByte('"')
	return b.String()
}
