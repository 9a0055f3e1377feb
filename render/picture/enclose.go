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

var (
	// words are what a drawing says of itself where it is a document; an image has its words in alt (SVG 2, 5.8; HTML-AAM 1.0, 4.1.8).
	words = regexp.MustCompile(`<title\b[^<]*</title>|<desc\b[^<]*</desc>`)

	tag       = regexp.MustCompile(`<(?:"[^"]*"|'[^']*'|[^"'>])*>`)
	tagOfText = regexp.MustCompile(`^</?text[\s>]`)
	attribute = regexp.MustCompile(`\s+([\w:-]+)=(?:"([^"]*)"|'[^']*')`)
	lineEnd   = regexp.MustCompile(`(^|[{};])\n\s*`)

	// In a list of numbers a comma stands for blanks, and beside the letter of a path nothing does (SVG 2, 8.6, 9.3.9 and 9.7.1).
	apart  = regexp.MustCompile(`[\s,]+`)
	letter = regexp.MustCompile(`,?([A-Za-z]),?`)
)

// Enclose returns an address that has a picture in it (RFC 2397), as an image shows it. A drawing stays text,
// which packs to less than half of base64. The address may stand between quotation marks in HTML as it is.
func Enclose(name string, data []byte) string {
	head := "data:" + media[formats[strings.ToLower(path.Ext(name))]]
	if !IsDrawing(name) {
		return head + ";base64," + base64.StdEncoding.EncodeToString(data)
	}
	var b strings.Builder
	b.WriteString(head + ",")
	for _, c := range []byte(short(words.ReplaceAllString(string(data), ""))) {
		// What RFC 3986, 3.3 lets stand in a path, but for the ampersand, which HTML would write in its own way.
		if 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9' || strings.IndexByte("-._~!$'()*+,;=:@/", c) >= 0 {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(&b, "%%%02X", c)
		}
	}
	return b.String()
}

// short is a drawing without what an image can do without: in an address each blank and each quotation mark has three
// bytes, an apostrophe one. Blanks in texts stay.
func short(drawing string) string {
	var b strings.Builder
	last, inText := 0, false
	between := func(to int) {
		if s := drawing[last:to]; inText {
			b.WriteString(s)
		} else {
			b.WriteString(lineEnd.ReplaceAllString(s, "$1"))
		}
	}
	for _, at := range tag.FindAllStringIndex(drawing, -1) {
		between(at[0])
		s := drawing[at[0]:at[1]]
		if last = at[1]; tagOfText.MatchString(s) {
			inText = s[1] != '/'
		}
		b.WriteString(attribute.ReplaceAllStringFunc(s, shortAttribute))
	}
	between(len(drawing))
	return b.String()
}

func shortAttribute(s string) string {
	parts := attribute.FindStringSubmatch(s)
	name, value := parts[1], parts[2]
	switch {
	case name == "role" || strings.HasPrefix(name, "aria-"):
		return ""
	case value == "":
		return s
	case name == "d" || name == "points" || name == "viewBox":
		value = letter.ReplaceAllString(strings.Trim(apart.ReplaceAllString(value, ","), ","), "$1")
	}
	return " " + name + "='" + strings.ReplaceAll(value, "'", "&#39;") + "'"
}
