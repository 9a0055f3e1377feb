package handbook

import (
	"errors"
	"fmt"
	"maps"
	"runtime"
	"slices"
	"strconv"

	"github.com/yuin/goldmark/ast"
	"golang.org/x/sync/errgroup"

	"benchleaf/render/picture"
	"benchleaf/render/remark"
)

// shownPicture is a photograph that a page shows as a block, not among words.
type shownPicture struct {
	Asset string
	Place remark.Place
}

// standsAlone tells whether a picture is all that its paragraph has.
func standsAlone(n ast.Node) bool {
	return n.PreviousSibling() == nil && n.NextSibling() == nil && n.Parent() != nil && n.Parent().Kind() == ast.KindParagraph
}

// pictures reads the pictures that pages show to their end: what cannot be taken, and what
// of a drawing is left out.
func (r *resolver) pictures() {
	var names []string
	for _, name := range r.book.Assets {
		if picture.IsPicture(name) {
			names = append(names, name)
		}
	}
	found := make([]remark.List, len(names))
	var workers errgroup.Group
	workers.SetLimit(runtime.GOMAXPROCS(0))
	for i, name := range names {
		workers.Go(func() error {
			found[i] = r.asset(name).Remarks
			return nil
		})
	}
	_ = workers.Wait()
	r.remarks = append(r.remarks, slices.Concat(found...)...)
	r.smallPictures()
}

// checkPicture checks one picture.
func checkPicture(name string, data []byte) (remarks remark.List) {
	place := remark.Place{File: name}
	taken, err := picture.Check(name, data)
	var unfit *picture.Unfit
	var oversize *picture.Oversize
	switch {
	case errors.As(err, &unfit):
		place.Line = unfit.Line
		remarks.Add(remark.PictureUnread, place, unfit.Why)
		return remarks
	case errors.As(err, &oversize):
		remarks.Add(remark.PictureSize, place, fmt.Sprintf("%d × %d", oversize.Width, oversize.Height))
		return remarks
	case err != nil: // trouble of the machine
		remarks.Add(remark.FileUnreadable, place, err)
		return remarks
	}
	if len(taken) > 0 {
		place.Line = taken[0].Line
		what := taken[0].What
		if more := len(taken) - 1; more > 0 {
			what = fmt.Sprintf("%s, and %d more", what, more)
		}
		remarks.Add(remark.PictureUnsafe, place, what)
	}
	if !picture.IsDrawing(name) {
		return remarks
	}
	for _, c := range drawnCallouts(data) {
		if _, err := strconv.Atoi(c.text); err != nil {
			place.Line = c.line
			remarks.Add(remark.CalloutNumber, place, c.text)
		}
	}
	return remarks
}

// smallPictures advises on photographs that have fewer pixels than a phone shows
// them with, once each, where the first page shows it.
func (r *resolver) smallPictures() {
	advised := map[string]bool{}
	for _, name := range slices.Sorted(maps.Keys(r.pageAt)) {
		for _, shown := range r.pageAt[name].shown {
			pixels := r.asset(shown.Asset).Info.Pixels
			if pixels == 0 || pixels >= picture.Narrow || advised[shown.Asset] {
				continue
			}
			advised[shown.Asset] = true
			r.remarks.Add(remark.PictureSmall, shown.Place, strconv.Itoa(pixels))
		}
	}
}
