package field

import (
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"html/template"
	"io"
	"strings"
)

//go:embed report.css
var style string

//go:embed report.html
var page string

var pageTemplate = template.Must(template.New("report").Parse(page))

// view is what the template shows.
type view struct {
	*Report
	Title, Policy string
	Lines         int // of the patch
	Style         template.CSS
	Sections      []tableView
	Patch         string
}

type tableView struct {
	Table
	ID    string
	Parts []partView
	Count string // of rows, where the table is folded
}

// partView is a section of a table.
type partView struct {
	Heading string
	Columns []Column
	Rows    []rowView
	Beside  string // the head of the column of pictures, if they stand in the rows
	Below   []pictureView
}

type pictureView struct {
	Caption string
	SVG     template.HTML
}

type rowView struct {
	Cells   []cellView
	Picture template.HTML
}

type cellView struct {
	Text   string
	Head   string // for narrow screens, where each cell is a line
	Number bool
}

// WriteHTML writes the report as one page that needs nothing else. Its policy
// allows its own style sheet only.
func (r *Report) WriteHTML(to io.Writer, title string) error {
	digest := sha256.Sum256([]byte(style))
	v := view{
		Report: r, Title: title, Style: template.CSS(style), Patch: r.Patch(),
		Policy: "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(digest[:]) + "'; base-uri 'none'; form-action 'none'",
	}
	v.Lines = strings.Count(v.Patch, "\n")
	for _, t := range r.Tables {
		if !t.Figures && len(t.Rows) > 0 {
			v.Sections = append(v.Sections, viewOf(t.shown()))
		}
	}
	return pageTemplate.Execute(to, v)
}

// viewOf arranges a table. Pictures that have a row's height stand in the row,
// others below the section.
func viewOf(t Table) tableView {
	t.About = strings.ReplaceAll(t.About, " %", "\u00a0%")
	v := tableView{Table: t, ID: t.Name}
	if t.Fold && len(t.Rows) > unfolded {
		v.Count = grouped(len(t.Rows))
	}
	row := 0
	for _, section := range t.sections() {
		heads, rows := t.body(section)
		p := partView{Columns: heads}
		if t.Group > 0 {
			p.Heading = t.heading(section[0])
		}
		for _, cells := range rows {
			r := rowView{}
			for i, text := range cells {
				r.Cells = append(r.Cells, cellView{text, p.Columns[i].Head, p.Columns[i].Number})
			}
			if t.Pictures != nil {
				picture := t.Pictures[row]
				switch svg := template.HTML(picture.SVG); { // made here, of texts that were escaped
				case t.Name == "causes":
					p.Beside, r.Picture = picture.Caption, svg
				case svg != "":
					p.Below = append(p.Below, pictureView{picture.Caption, svg})
				}
			}
			p.Rows = append(p.Rows, r)
			row++
		}
		v.Parts = append(v.Parts, p)
	}
	return v
}
