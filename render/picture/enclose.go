package picture

import (
	"encoding/base64"
	"fmt"
	"path"
	"regexp"
	"strings"
)

// media are the names of formats in data URLs.
var media = map[string]string{"SVG": "image/svg+xml", "PNG": "image/png", "JPEG": "image/jpeg", "WebP": "image/webp"}

// words are what a drawing says of itself where it is a document; an image has its words in alt (SVG 2, 5.8; HTML-AAM 1.0, 4.1.8).
var words = regexp.MustCompile(`<title\b[^<]*</title>\n?|<desc\b[^<]*</desc>\n?`)

// Enclose returns an address that has a picture in it (RFC 2397), as an image shows it. A drawing stays text,
// which packs to less than half of base64.
func Enclose(name string, data []byte) string {
	head := "data:" + media[formats[strings.ToLower(path.Ext(name))]]
	if !IsDrawing(name) {
		return head + ";base64," + base64.StdEncoding.EncodeToString(data)
	}
	var b strings.Builder
	b.WriteString(head + ",")
	for _, c := range words.ReplaceAll(data, nil) {
		// What RFC 3986, 3.3 lets stand in a path, but for the apostrophe and the
		// ampersand, which HTML would write in its own way.
		if 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9' || strings.IndexByte("-._~!$()*+,;=:@/", c) >= 0 {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(&b, "%%%02X", c)
		}
	}
	return b.String()
}
