package render

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// ErrNoTranslation says that a page is none that was translated from another.
var ErrNoTranslation = errors.New("it is no translation of a page of the source language; name one, such as es/theory/battery.md")

// ErrNoSection says that a page has no such section.
var ErrNoSection = errors.New("the page has no such section")

// Recording is what a translator has looked at.
type Recording struct {
	// Remarks are on what is not as the source's. With a section those on blocks elsewhere are among them.
	Remarks remark.List
	// Same: block by block the page has what the source has. Else the whole page cannot be recorded at once.
	Same bool
	Text []byte // the page's file with the record; nil where nothing is to be written
}

// Translated records in the front matter of a page that it is the translation of its source as that
// is now; with a section, of that section alone. The name is the page's file in the folder.
func Translated(dir, name, section string) (Recording, error) {
	tree, book, result, err := model(dir)
	if err != nil {
		return Recording{}, err
	}
	defer tree.Close()
	i := slices.IndexFunc(book.Pages, func(p *handbook.Page) bool { return p.Source.Path == name })
	if i < 0 || book.Pages[i].Translation == nil {
		return Recording{}, fmt.Errorf("%s: %w", name, ErrNoTranslation)
	}
	p := book.Pages[i]
	list, same := handbook.Record(p, p.Translation.Of)
	rec := Recording{Same: same}
	for _, r := range result.Remarks {
		if r.Place.File == name && strings.HasPrefix(r.ID, "translation-") {
			rec.Remarks = append(rec.Remarks, r)
		}
	}
	if !same && section == "" {
		return rec, nil
	}
	if section != "" {
		if !slices.ContainsFunc(list, func(x handbook.Recorded) bool { return x.Section == section }) {
			return rec, fmt.Errorf("%s: %q: %w", name, section, ErrNoSection)
		}
		was := p.Translation.Record
		list = slices.DeleteFunc(list, func(x handbook.Recorded) bool { return x.Section != section && was[x.Section] == nil })
		for i, x := range list {
			if x.Section != section {
				list[i].Digests = was[x.Section]
			}
		}
	}
	rec.Text = handbook.WithRecord(p.Source, list)
	return rec, nil
}
