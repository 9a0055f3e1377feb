package draw

import "strings"

// Texts that are longer than this many lines are cut; the whole is in the title.
const (
	mostStepLines  = 8
	mostEndLines   = 8
	mostPointer    = 8
	mostLabelLines = 8
)

// wrapped breaks a text into lines of much the same length, as few as the width
// allows and most of them at most.
func wrapped(s string, width float64, most int) (lines []string, cut bool) {
	lines = wrap(s, width)
	if len(lines) > most {
		lines = lines[:most]
		last := []rune(lines[most-1])
		for len(last) > 0 && widthOf(string(last)+"…") > width {
			last = last[:len(last)-1]
		}
		lines[most-1] = strings.TrimRight(string(last), " ,;:") + "…"
		return lines, true
	}
	if len(lines) < 2 {
		return lines, false
	}
	least := width / 2
	for _, word := range strings.FieldsFunc(s, breakable) {
		least = max(least, widthOf(word)) // a word is not broken for the looks
	}
	for narrow := width - letters; narrow >= least; narrow -= letters {
		even := wrap(s, narrow)
		if len(even) > len(lines) {
			break
		}
		lines = even
	}
	return lines, false
}

// stepBox is a box of the spine: the mark at the left, the text beside it, the
// note below the text.
func stepBox(n FlowNode, left, top, right float64) flowBox {
	b := flowBox{node: n}
	width := right - left - tabWidth - 2*boxPad - cornerCut/2
	b.lines, b.cut = wrapped(n.Text, width, mostStepLines)
	b.note, _ = wrapped(n.Note, width, mostStepLines)
	height := max(leastBox, lineOf*float64(len(b.lines)+len(b.note))+2*boxPad)
	b.box = box{left, top, right, top + height}
	return b
}

// endBox is a box beside a step: the mark in its corner with the note, the text
// below them, or beside the mark where there is no note. It has its size and no
// place yet.
func endBox(n FlowNode, left, right float64, pointer bool) flowBox {
	b := flowBox{node: n, end: true, pointer: pointer}
	width, most := right-left-2*boxPad, mostEndLines
	if pointer {
		b.node.Note, most = "", mostPointer
	}
	rows := 0
	if b.node.Note == "" {
		width -= endTab
	} else {
		b.note, _ = wrapped(n.Note, width-endTab, 1)
		rows++
	}
	b.lines, b.cut = wrapped(n.Text, width, most)
	b.box = box{left, 0, right, max(leastBox, lineOf*float64(len(b.lines)+rows)+2*boxPad)}
	return b
}

// labelOf is the text of an exit, which has no place yet.
func labelOf(texts []string, width float64) (l flowLabel) {
	short := false
	for _, s := range texts {
		if len(texts) > 1 {
			s = "• " + s
		}
		lines, cut := wrapped(s, width, mostLabelLines)
		l.lines, short = append(l.lines, lines...), short || cut
	}
	if short {
		l.full = strings.Join(texts, "; ")
	}
	return l
}

// cornerCut is what the corners of a reading and of a page lose.
const cornerCut = 12

// outline is the shape of a box. Its sides are lengths, which many boxes share: so it
// packs well.
func (b flowBox) outline() string {
	at, w, h := "M"+list(b.left, b.top), b.right-b.left, b.bottom-b.top
	rectangle := func(w, h float64) string {
		return "h" + list(w) + "v" + list(h) + "h" + list(-w) + "z"
	}
	switch b.node.Kind {
	case FlowReading:
		const c = cornerCut
		return at + "h" + list(w-c) + "l" + list(c, c) + "v" + list(h-2*c) + "l" + list(-c, c) + "h" + list(c-w) + "z"
	case FlowCause:
		const q = 16
		arc := "a" + list(q, q) + " 0 0 1 "
		return "M" + list(b.left+q, b.top) + "h" + list(w-2*q) + arc + list(q, q) + "v" + list(h-2*q) + arc + list(-q, q) + "h" + list(2*q-w) + arc + list(-q, -q) + "v" + list(2*q-h) + arc + list(q, -q) + "z"
	case FlowEnd:
		const in = 4
		return at + rectangle(w, h) + "m" + list(in, in) + rectangle(w-2*in, h-2*in)
	case FlowPage:
		const c = cornerCut
		return at + "h" + list(w-c) + "l" + list(c, c) + "v" + list(h-c) + "h" + list(-w) + "z" +
			"m" + list(w-c, 0) + "v" + list(c) + "h" + list(c)
	}
	return at + rectangle(w, h)
}

func (b flowBox) write(s *pen) {
	s.WriteString(`<a href="` + text(b.node.Href) + `">`)
	if b.cut {
		s.WriteString("<title>" + text(strings.TrimSpace(b.node.Mark+" "+b.node.Text)) + "</title>")
	}
	s.WriteString(`<path class="flow-box" fill="none" pointer-events="all" stroke="currentColor" stroke-width="2"`)
	if b.pointer {
		s.WriteString(` stroke-dasharray="5 3"`)
	}
	s.WriteString(` d="` + b.outline() + `"/>`)
	middle := (b.top + b.bottom) / 2
	if !b.end {
		b.writeStep(s, middle)
	} else {
		b.writeEnd(s, middle)
	}
	s.WriteString("</a>\n")
}

func (b flowBox) writeStep(s *pen, middle float64) {
	s.WriteString(`<path d="M` + list(b.left, b.top) + "h" + list(tabWidth) + "v" + list(b.bottom-b.top) + "h" + list(-tabWidth) + `z"/>`)
	s.text(` class="flow-number" text-anchor="middle" font-size="20" font-weight="600" fill="#fff" x="` + s.x(b.left+tabWidth/2) + `" y="` + list(middle+7) + `"`)
	s.WriteString(text(b.node.Mark) + "</text> ")
	top := middle - lineOf*float64(len(b.lines)+len(b.note))/2
	writeLines(s, ` font-weight="600"`, b.left+tabWidth+boxPad, top, b.lines)
	if len(b.note) > 0 {
		s.WriteByte(' ')
		writeLines(s, "", b.left+tabWidth+boxPad, top+lineOf*float64(len(b.lines)), b.note)
	}
}

func (b flowBox) writeEnd(s *pen, middle float64) {
	rows := len(b.lines)
	if len(b.note) > 0 {
		rows++
	}
	top := middle - lineOf*float64(rows)/2
	x := b.left + boxPad
	if b.node.Mark != "" {
		writeLines(s, ` font-weight="600"`, x+2, top, []string{b.node.Mark})
		s.WriteByte(' ')
	}
	if len(b.note) == 0 {
		x += endTab
	} else {
		writeLines(s, ` font-style="italic"`, x+endTab, top, b.note)
		s.WriteByte(' ')
		top += lineOf
	}
	writeLines(s, "", x, top, b.lines)
}

// writeLines writes a text as one, so that it is read and copied as one.
func writeLines(s *pen, attributes string, x, top float64, lines []string) {
	s.text(attributes)
	for i, line := range lines {
		at := ` y="` + list(top+letters-1)
		if i > 0 {
			s.WriteByte(' ')
			at = ` dy="` + list(lineOf) // the same in each line, which packs well
		}
		s.WriteString(`<tspan x="` + s.x(x) + `"` + at + `">` + ordered(line) + "</tspan>")
	}
	s.WriteString("</text>")
}

func (l flowLabel) write(s *pen) {
	s.WriteString("<g>")
	if l.full != "" {
		s.WriteString("<title>" + text(l.full) + "</title>")
	}
	writeLines(s, "", l.left, l.top, l.lines)
	s.WriteString("</g>\n")
}
