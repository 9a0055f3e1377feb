package field

import (
	"math"
	"strconv"
)

// Picture is an SVG with the words above it.
type Picture struct{ Caption, SVG string }

// scaleOf is the end of the scale on which a section's shares are drawn: the next
// tenth above the highest.
func scaleOf(shares []Share, written []float64) float64 {
	highest := 0.0
	for i, s := range shares {
		highest = max(highest, s.High, written[i])
	}
	return min(1, math.Ceil(10*highest)/10)
}

// whisker draws a share with its interval on a scale from 0 to an end, and a
// stroke where the author's frequency puts it.
func whisker(s Share, written, end float64) Picture {
	x := func(share float64) string { return strconv.FormatFloat(5+150*share/end, 'f', 1, 64) }
	return Picture{"0 to " + trimmed(100*end) + " %", `<svg xmlns="http://www.w3.org/2000/svg" class="whisker" viewBox="0 0 160 20" role="img" aria-label="` +
		percent(s.Mean) + ` %, from ` + percent(s.Low) + ` to ` + percent(s.High) + `; written ` + percent(written) + ` %">` +
		`<path class="track" d="M5 10H155M5 6V14M80 7V13M155 6V14"/>` +
		`<path class="written" d="M` + x(written) + ` 2V18"/>` +
		`<path class="interval" d="M` + x(s.Low) + ` 10H` + x(s.High) + `"/>` +
		`<circle cx="` + x(s.Mean) + `" cy="10" r="4"/></svg>`}
}

// modelText is a model as tables have it.
func modelText(model string) string {
	if model == "" {
		return none
	}
	return model
}
