package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
	"time"

	"github.com/schollz/progressbar/v3"
)

// stoppable returns a context that ends with the first Ctrl-C: what is being made is
// taken away again. A second one ends the program at once, as if it had not been caught.
func stoppable() (context.Context, context.CancelFunc) {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop)
	return ctx, stop
}

// progress shows on a terminal what is being done, how much of it is, how fast it goes
// and the time left. Elsewhere it is silent.
type progress struct {
	screen *os.File // nil for none
	what   string
	bar    *progressbar.ProgressBar // of what is being done now; nil for none
}

func (c *call) progress() *progress { return &progress{screen: terminal(c.stderr)} }

// tell is a render.Progress. What cannot be counted is of no total: it shows a sign of life.
func (p *progress) tell(what string, done, total int) {
	if p.bar == nil || what != p.what {
		options := []progressbar.Option{progressbar.OptionShowCount(), progressbar.OptionShowIts(), progressbar.OptionSetItsString("pages")}
		if total == 0 {
			total, options = -1, nil
		}
		p.begin(what, total, options...)
	}
	if p.bar != nil && total > 0 {
		_ = p.bar.Set(done)
	}
}

// bytes begins a bar of so many bytes, and returns what adds to it.
func (p *progress) bytes(what string, total int64) (add func(n int)) {
	p.begin(what, int(total), progressbar.OptionShowBytes(true))
	return func(n int) {
		if p.bar != nil {
			_ = p.bar.Add(n)
		}
	}
}

func (p *progress) begin(what string, total int, options ...progressbar.Option) {
	p.end()
	if p.screen == nil {
		return
	}
	p.what = what
	p.bar = progressbar.NewOptions(total, append(options,
		progressbar.OptionSetWriter(p.screen), progressbar.OptionSetDescription(what), progressbar.OptionSetPredictTime(true),
		progressbar.OptionClearOnFinish(), progressbar.OptionThrottle(100*time.Millisecond))...)
}

// hide takes the bar off the screen for a line that is to stay; it is drawn again with
// the next step.
func (p *progress) hide() {
	if p.bar != nil {
		_ = p.bar.Clear()
	}
}

// end takes the bar away for good.
func (p *progress) end() {
	if p.bar != nil {
		_ = p.bar.Finish()
		_ = p.bar.Clear()
		p.bar = nil
	}
}
