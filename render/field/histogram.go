package field

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"benchleaf/render/draw"
)

// Values are counted in whole multiples of a power of ten that is finer than
// what a meter shows; which bins suit them is only known when all were seen.

// farthest is the greatest multiple that is counted as it is.
const farthest = 1e15

// power returns the power of ten in whose multiples the values are counted: three
// digits below the first of a limit, or two below that of the distance between
// two limits; and the limits themselves, to twelve digits, are multiples too.
func (k readingKey) power() int {
	size, digits := 0.0, 3
	switch {
	case k.both() && k.max > k.min:
		size, digits = k.max-k.min, 2
	case k.lower():
		size = math.Abs(k.min)
	default:
		size = math.Abs(k.max)
	}
	power := -digits // of a limit of 0 alone
	if size > 0 {
		power = int(math.Floor(math.Log10(size))) - digits
	}
	for _, limit := range [...]float64{k.min, k.max} {
		if limit != 0 && !math.IsInf(limit, 0) {
			power = min(power, lastDigit(limit))
		}
	}
	return power
}

// lastDigit returns the power of ten of a number's last digit, of twelve at most.
func lastDigit(v float64) int {
	digits, exponent, _ := strings.Cut(strconv.FormatFloat(math.Abs(v), 'e', 11, 64), "e")
	power, _ := strconv.Atoi(exponent)
	return power - (len(strings.TrimRight(digits, "0")) - len("1."))
}

func (k readingKey) lower() bool { return !math.IsInf(k.min, 0) }

func (k readingKey) upper() bool { return !math.IsInf(k.max, 0) }

func (k readingKey) both() bool { return k.lower() && k.upper() }

// limited tells whether there is a limit to hold a value against.
func (k readingKey) limited() bool { return k.lower() || k.upper() }

// multiple is a value in multiples of a power of ten.
func multiple(v float64, power int) int64 {
	if power < 0 { // so that 14.4 · 10 is 144: a tenth is no float
		v *= math.Pow10(-power)
	} else {
		v /= math.Pow10(power)
	}
	return int64(math.Round(max(-farthest, min(farthest, v))))
}

// valueOf is the value of a multiple.
func valueOf(n int64, power int) float64 {
	if power < 0 {
		return float64(n) / math.Pow10(-power)
	}
	return float64(n) * math.Pow10(power)
}

// histogram is how many values lie between edges that follow one another. Limits
// are edges.
type histogram struct {
	power        int
	edges        []int64 // multiples of the power of ten
	counts       []int   // one less
	width        int64   // of a bin, between two limits only about
	lower, upper int64   // the limits; edges if there are such limits
	limits       readingKey
	below, above int // values farther out
}

// bins chooses bins for what was read; none where there is no limit, or no value.
//
// Drawn is what lies between the quartiles and the limits, and one and a half
// times as far beyond (as the fences of J. W. Tukey, Exploratory Data Analysis,
// 1977, with the limits taken into the box). A bin is as wide as D. Freedman and
// P. Diaconis say (On the histogram as a density estimator, Zeitschrift für
// Wahrscheinlichkeitstheorie 57, 1981): twice the distance of the quartiles
// through the cube root of the number; and no narrower than what the meter shows
// or a 24th of the picture, no wider than a sixth.
func (k readingKey) bins(c *readings) histogram {
	var values []int64
	total := 0
	for _, v := range slices.Sorted(maps.Keys(c.values)) {
		if c.values[v] > 0 {
			values = append(values, v)
			total += c.values[v]
		}
	}
	if !k.limited() || total == 0 {
		return histogram{}
	}
	h := histogram{power: c.power, lower: multiple(k.min, c.power), upper: multiple(k.max, c.power), limits: k}
	if k.min == k.max {
		h.upper++ // that there is a bin of what is within
	}
	rank := func(quarters int) int64 {
		seen := 0
		for _, v := range values {
			if seen += c.values[v]; 4*seen >= quarters*total {
				return v
			}
		}
		return values[len(values)-1]
	}
	from, to := rank(1), rank(3)
	apart := to - from
	if k.lower() {
		from, to = min(from, h.lower), max(to, h.lower)
	}
	if k.upper() {
		from, to = min(from, h.upper), max(to, h.upper)
	}
	shown := h.shown(c, values, total)
	reach := max(3*(to-from)/2, 5*shown)
	first, last := from, to
	for _, v := range values {
		if v >= from-reach && v <= to+reach {
			first, last = min(first, v), max(last, v)
		}
	}
	span := float64(last - first)
	width := max(min(2*float64(apart)/math.Cbrt(float64(total)), span/6), span/24, float64(shown))
	h.width = h.even(width, shown)
	h.cut(first, last)
	for _, v := range values {
		switch bin := h.bin(v); {
		case bin < 0:
			h.below += c.values[v]
		case bin >= len(h.counts):
			h.above += c.values[v]
		default:
			h.counts[bin] += c.values[v]
		}
	}
	return h
}

// shown is what the last digit of the meters is worth: the highest power of ten of
// which nine tenths of the values are multiples. Few values may be round by
// chance: it is no more than the distance of the limits, or a tenth of one.
func (h *histogram) shown(c *readings, values []int64, total int) int64 {
	most := max(h.lower, -h.lower) / 10
	switch {
	case h.limits.both():
		most = h.upper - h.lower
	case h.limits.upper():
		most = max(h.upper, -h.upper) / 10
	}
	shown := int64(1)
	for next := int64(10); next <= most; next *= 10 {
		multiples := 0
		for _, v := range values {
			if v%next == 0 {
				multiples += c.values[v]
			}
		}
		if 10*multiples < 9*total {
			break
		}
		shown = next
	}
	return shown
}

// even returns a width, at least the one that is wanted, that is a multiple of
// what the meters show. If one of at most twice the width parts the distance of
// two limits evenly it is that, else 1, 2 or 5 times a power of ten.
func (h *histogram) even(wanted float64, shown int64) int64 {
	power := int64(math.Pow10(int(math.Log10(wanted))))
	if h.limits.both() {
		step := max(shown, power/10)
		for w := int64(math.Ceil(wanted/float64(step))) * step; float64(w) <= 2*wanted; w += step {
			if (h.upper-h.lower)%w == 0 {
				return w
			}
		}
	}
	for _, times := range []int64{1, 2, 5} {
		if w := times * power; float64(w) >= wanted {
			return w
		}
	}
	return 10 * power
}

// cut makes the edges: outward from the limits, one bin beyond each at least,
// until everything from first to last lies between them.
func (h *histogram) cut(first, last int64) {
	switch {
	case h.limits.both():
		n := max(1, (h.upper-h.lower+h.width/2)/h.width)
		for i := range n + 1 {
			h.edges = append(h.edges, h.lower+(h.upper-h.lower)*i/n)
		}
	case h.limits.lower():
		h.edges = []int64{h.lower}
	default:
		h.edges = []int64{h.upper}
	}
	for lowest := h.edges[0] - h.width; ; lowest -= h.width {
		h.edges = slices.Insert(h.edges, 0, lowest)
		if lowest <= first {
			break
		}
	}
	for highest := h.edges[len(h.edges)-1] + h.width; ; highest += h.width {
		h.edges = append(h.edges, highest)
		if highest > last {
			break
		}
	}
	h.counts = make([]int, len(h.edges)-1)
}

// bin returns the bin of a value, -1 or one too many for one farther out. A value
// on a limit is within, so bins hold their lower edge, and from an upper limit on
// their upper one.
func (h *histogram) bin(v int64) int {
	bin, on := slices.BinarySearch(h.edges, v)
	if !on || h.limits.upper() && v >= h.upper {
		bin--
	}
	return bin
}

func (h *histogram) at(edge int) float64 { return valueOf(h.edges[edge], h.power) }

// stepText says how wide the bins are.
func (h *histogram) stepText() string {
	text := "Steps of " + h.limits.inUnit(valueOf(h.width, h.power))
	if i := slices.Index(h.edges, h.lower); h.limits.both() && h.edges[i+1]-h.lower != h.width {
		text += ", about, between the limits"
	}
	return text + "."
}

// beyondText says what lies farther out than the bins; "" if nothing does.
func (h *histogram) beyondText() string {
	var parts []string
	if h.below > 0 {
		parts = append(parts, grouped(h.below)+" below "+h.limits.inUnit(h.at(0)))
	}
	if h.above > 0 {
		parts = append(parts, grouped(h.above)+" above "+h.limits.inUnit(h.at(len(h.edges)-1)))
	}
	if parts == nil {
		return ""
	}
	return "Not drawn: " + strings.Join(parts, ", ") + "."
}

// histogramPicture draws how many values each bin has, with the limits as a band;
// nothing where there are no bins.
func (s *Sum) histogramPicture(number int, k readingKey) Picture {
	h := k.bins(s.readings[k])
	if h.edges == nil {
		return Picture{}
	}
	points := []draw.Point{{X: h.at(0), Y: 0}}
	for bin, n := range h.counts {
		points = append(points, draw.Point{X: h.at(bin), Y: float64(n)}, draw.Point{X: h.at(bin + 1), Y: float64(n)})
	}
	points = append(points, draw.Point{X: h.at(len(h.counts)), Y: 0})
	plain := func(v, step float64) string { return strconv.FormatFloat(v, 'f', draw.Decimals(step), 64) }
	caption := joined(s.book.modelTitle(k.model)+".", k.limitsText(), h.stepText(), h.beyondText())
	p := draw.Plot{
		ID: "readings-" + strconv.Itoa(number),
		X:  draw.Axis{Label: s.specTitle(k), Units: []draw.AxisUnit{{Symbol: k.unit, Format: plain}}},
		Y: draw.Axis{Label: "Readings", Units: []draw.AxisUnit{{Format: func(v, step float64) string {
			if v != math.Trunc(v) {
				return "" // half a reading is none
			}
			return separated(plain(v, step))
		}}}},
		Points: points,
		Bands:  []draw.Band{{From: k.min, To: k.max, Upright: true, Label: "within limits"}},
		Whole:  true,
		Title:  s.specTitle(k) + ", " + s.book.modelTitle(k.model),
		Desc:   "Histogram. " + caption,
	}
	return Picture{caption, p.SVG()}
}

// joined puts sentences into one text.
func joined(sentences ...string) string {
	return strings.Join(slices.DeleteFunc(sentences, func(s string) bool { return s == "" }), " ")
}

func (s *Sum) binsTable() Table {
	t := Table{
		Name: "histogram", Title: "Histogram of the readings", Figures: true,
		Columns: columns("specification=Specification", "model=Model", "#min=Lower limit", "#max=Upper limit", "unit=Unit", "#from=From", "#to=To", "#readings=Readings"),
	}
	for _, k := range s.readingKeys() {
		h := k.bins(s.readings[k])
		row := func(from, to string, n int) {
			t.Rows = append(t.Rows, []string{k.spec, modelText(k.model), trimmed(k.min), trimmed(k.max), k.unit, from, to, strconv.Itoa(n)})
		}
		if h.below > 0 {
			row("", trimmed(h.at(0)), h.below)
		}
		for bin, n := range h.counts {
			row(trimmed(h.at(bin)), trimmed(h.at(bin+1)), n)
		}
		if h.above > 0 {
			row(trimmed(h.at(len(h.counts))), "", h.above)
		}
	}
	return t
}

// blocks are bars of letters, an eighth of a line more each.
var blocks = []rune(" ▁▂▃▄▅▆▇█")

// bars draws the histogram in one line of text, with the limits as brackets.
func (h *histogram) bars() string {
	most := cmp.Or(slices.Max(h.counts), 1)
	var b strings.Builder
	for bin, n := range h.counts {
		switch edge := h.edges[bin]; {
		case h.limits.lower() && edge == h.lower:
			b.WriteByte('[')
		case h.limits.upper() && edge == h.upper:
			b.WriteByte(']')
		}
		level := 0
		if n > 0 {
			level = max(1, n*(len(blocks)-1)/most)
		}
		b.WriteRune(blocks[level])
	}
	return b.String()
}
