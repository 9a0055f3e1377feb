package draw

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

// Struts of one column never overlap, and as few columns are taken as struts lie
// beside each other somewhere: first fit from the top is the least for intervals.
func TestLadderColumns(t *testing.T) {
	random := rand.New(rand.NewPCG(31, 32))
	for range 500 {
		var l Ladder
		rungs := 2 + random.IntN(12)
		for range 1 + random.IntN(20) {
			from := random.IntN(rungs)
			l.Struts = append(l.Struts, Strut{From: from, To: (from + 1 + random.IntN(rungs-1)) % rungs})
		}
		columns, count := l.columns()
		beside := 0
		for y := range rungs {
			across := 0
			taken := map[int]bool{}
			for i, s := range l.Struts {
				if min(s.From, s.To) <= y && y < max(s.From, s.To) {
					across++
					if taken[columns[i]] {
						t.Fatalf("two struts of column %d at rung %d: %+v", columns[i], y, l)
					}
					taken[columns[i]] = true
				}
			}
			beside = max(beside, across)
		}
		if count != beside {
			t.Errorf("%d columns for %d struts side by side: %+v", count, beside, l)
		}
	}
}

// The picture is well-formed whatever its texts hold, and everything lies in it.
func TestLadderFits(t *testing.T) {
	l := Ladder{Title: `A "B" <C> &`}
	for i := range 12 {
		l.Rungs = append(l.Rungs, Rung{fmt.Sprintf("<P%d>", i), "13.85 V"})
		if i > 0 {
			l.Struts = append(l.Struts, Strut{From: 0, To: i, Mark: strconv.Itoa(i), Source: i == 1})
		}
	}
	svg := l.SVG()
	var width, height float64
	texts := 0
	for d := xml.NewDecoder(strings.NewReader(svg)); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatalf("%v\n%s", err, svg)
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		at := map[string]float64{}
		for _, a := range start.Attr {
			if a.Name.Local == "viewBox" {
				_, _ = fmt.Sscanf(a.Value, "0 0 %g %g", &width, &height)
			}
			at[a.Name.Local], _ = strconv.ParseFloat(a.Value, 64)
		}
		switch start.Name.Local {
		case "text":
			texts++
			if at["x"] < 0 || at["x"] > width || at["y"] < 0 || at["y"] > height {
				t.Errorf("a text stands at %v", at)
			}
		case "rect":
			if at["x"] < 0 || at["x"]+at["width"] > width || at["y"]+at["height"] > height {
				t.Errorf("a box stands at %v", at)
			}
		}
	}
	if texts != 2*12+11 {
		t.Errorf("%d texts", texts)
	}
}
