package language

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"slices"

	"benchleaf/render/remark"
)

// judgement is what came of judging the handbook.
type judgement struct {
	*Judged
	revision int
	err      error
}

// judging judges the handbook after each change, and tells what is wrong.
func (s *server) judging(ctx context.Context) {
	for {
		select {
		case <-ctx.Done():
			return
		case <-s.wake:
		}
		s.mu.Lock()
		j := &judgement{revision: s.revision}
		unsaved, versions := map[string][]byte{}, map[string]int{}
		for _, d := range s.docs {
			if d.name != "" {
				unsaved[d.name], versions[d.name] = d.text, d.version
			}
		}
		s.mu.Unlock()
		j.Judged, j.err = s.judgeNow(ctx, unsaved)
		if ctx.Err() != nil {
			return
		}
		s.mu.Lock()
		s.judged = j // before anybody is told: who asks then is answered by it
		s.mu.Unlock()
		if j.err != nil {
			s.tell(j.err)
		} else {
			s.publish(ctx, j, versions)
		}
		s.mu.Lock()
		s.published = j.revision
		close(s.news)
		s.news = make(chan struct{})
		s.mu.Unlock()
	}
}

// judgeNow guards the session against a text that nobody has tried.
func (s *server) judgeNow(ctx context.Context, unsaved map[string][]byte) (j *Judged, err error) {
	defer func() {
		if r := recover(); r != nil {
			fmt.Fprintf(s.options.Log, "%v\n%s", r, debug.Stack())
			err = errors.New("this text cannot be judged; the program's log says why")
		}
	}()
	return s.judge.Judge(ctx, unsaved)
}

// publish tells the remarks of each file that is open or has others than before.
func (s *server) publish(ctx context.Context, j *judgement, versions map[string]int) {
	lists := map[string][]diagnostic{}
	for name := range s.told {
		lists[name] = []diagnostic{}
	}
	for name := range versions {
		lists[name] = []diagnostic{}
	}
	texts := map[string]*text{}
	for _, r := range j.everywhere() {
		name := r.Place.File
		t := texts[name]
		if t == nil {
			t = newText(j.Texts[name])
			texts[name] = t
		}
		lists[name] = append(lists[name], s.diagnostic(t, r))
	}
	for name, list := range lists {
		version, open := versions[name]
		if !open && slices.Equal(list, s.told[name]) {
			continue
		}
		s.told[name] = list
		p := diagnosticsParams{URI: s.uriOf(name), Diagnostics: list}
		if open {
			p.Version = &version
		}
		_ = s.conn.Notify(ctx, "textDocument/publishDiagnostics", p) // a client that is gone ends the session
	}
}

// everywhere are the remarks at all their places, of which a build tells the first: an editor shows one file at a time.
func (j *Judged) everywhere() remark.List {
	type told struct {
		id string
		at remark.Place
	}
	all, known := slices.Clone(j.Apart), map[told]bool{}
	for _, r := range j.Apart {
		known[told{r.ID, r.Place}] = true
	}
	for _, r := range j.Remarks { // some are told where their subject stands
		if !known[told{r.ID, r.Place}] {
			all = append(all, r)
		}
	}
	return all
}

// diagnostic is a remark as an editor shows it.
func (s *server) diagnostic(t *text, r remark.Remark) diagnostic {
	d := diagnostic{Severity: 3, Code: r.ID, Source: "benchleaf", Message: r.Message + "\n" + r.Mend}
	switch r.Severity {
	case remark.Error:
		d.Severity = 1
	case remark.Warning:
		d.Severity = 2
	}
	if r.Place.Line > 0 {
		start, end := t.marked(r.Place)
		d.Range = t.span(start, end, s.encoding)
	}
	return d
}
