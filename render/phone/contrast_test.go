package phone

import (
	"fmt"
	"strconv"
	"testing"

	"github.com/chromedp/cdproto/emulation"
)

// contrastScript measures what is seen: each text against what lies behind it, and the border of each key against
// what the key lies on. It is given the least ratio of a text and of a border. Source of the ratio: WCAG 2.2,
// definitions of contrast ratio and relative luminance.
const contrastScript = `((text, border) => {
	const parts = (colour) => (colour.match(/[\d.]+/g) ?? []).map(Number);
	const over = ([r, g, b, a = 1], [R, G, B]) => [r * a + R * (1 - a), g * a + G * (1 - a), b * a + B * (1 - a)];
	const behind = (e) => {
		const own = [];
		for (; e; e = e.parentElement) {
			const c = parts(getComputedStyle(e).backgroundColor);
			own.push(c);
			if ((c[3] ?? 1) === 1) break;
		}
		return own.reverse().reduce((under, c) => over(c, under), [255, 255, 255]);
	};
	// A text of a picture lies on the shape that is drawn before it, where that has a fill.
	const onShape = (e) => {
		const t = e.getBoundingClientRect(), [x, y] = [t.x + t.width / 2, t.y + t.height / 2];
		for (let s = e.previousElementSibling; s; s = s.previousElementSibling) {
			const r = s.getBoundingClientRect(), fill = getComputedStyle(s).fill;
			if (/^(rect|path|circle|polygon)$/.test(s.localName) && fill.startsWith("rgb") && parts(fill)[3] !== 0 && r.left < x && x < r.right && r.top < y && y < r.bottom) return over(parts(fill), behind(e));
		}
		return behind(e);
	};
	const luminance = (c) => {
		const [r, g, b] = c.map((v) => v / 255).map((v) => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
		return 0.2126 * r + 0.7152 * g + 0.0722 * b;
	};
	const ratio = (a, b) => {
		const [l, m] = [luminance(a), luminance(b)];
		return (Math.max(l, m) + 0.05) / (Math.min(l, m) + 0.05);
	};
	const name = (e) => e.localName + [...e.classList].map((c) => "." + c).join("") + (e.name ? "[" + e.name + "]" : "");
	const faults = new Set();
	for (const e of document.querySelectorAll("body *")) {
		const box = e.getBoundingClientRect(), style = getComputedStyle(e);
		// What an animation hides for a while is looked at too.
		if (style.animationName !== "none" || style.transitionDuration !== "0s" || style.scrollBehavior !== "auto") faults.add(name(e) + " moves");
		if (box.width < 2 || box.height < 2 || box.right < 0 || style.visibility === "hidden" || !e.getClientRects().length) continue;
		if ([...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim())) {
			const svg = e.namespaceURI.endsWith("/svg");
			const ground = svg ? onShape(e) : behind(e);
			const got = ratio(over(parts(svg ? style.fill : style.color), ground), ground);
			if (got < text) faults.add(name(e) + " of " + name(e.parentElement) + ": text " + got.toFixed(2) + ":1");
		}
		if (e.placeholder?.trim()) {
			const got = ratio(over(parts(getComputedStyle(e, "::placeholder").color), behind(e)), behind(e));
			if (got < text) faults.add(name(e) + ": placeholder " + got.toFixed(2) + ":1");
		}
		if (e.matches("button, select, input:not([type=checkbox], [type=radio], [type=file]), textarea, .answers a") && !e.disabled) {
			const got = parseFloat(style.borderBottomWidth) && style.borderBottomStyle !== "none" ? ratio(over(parts(style.borderBottomColor), behind(e.parentElement)), behind(e.parentElement)) : 1;
			if (got < border) faults.add(name(e) + " of " + name(e.parentElement) + ": border " + got.toFixed(2) + ":1");
		}
	}
	return [...faults];
})`

// look sets the reader's preferences, by the names of the media features.
func (b *tab) look(preferences map[string]string) {
	b.Helper()
	var features []*emulation.MediaFeature
	for name, value := range preferences {
		features = append(features, &emulation.MediaFeature{Name: name, Value: value})
	}
	call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: features})
}

// TestPreferences shows all that an edition has to readers who force their own colours, who want more contrast, and
// who want no motion: texts and the borders of keys are seen, signal words and verdicts are words, nothing moves.
func TestPreferences(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	signals := map[string]bool{}
	for _, lang := range d.book.Languages {
		for _, level := range []string{"danger", "warning", "caution", "notice"} {
			signals[d.in(lang).words.Word("safety."+level)] = true
		}
	}
	preferences := []struct {
		name, value  string
		text, border float64
	}{
		// Who forces colours has chosen them: a link has what the system gives it.
		{"forced-colors", "active", 4.5, 3},
		{"prefers-contrast", "more", 7, 7},
		// Signal words are large, on the colours of the standard: 4.5:1 (WCAG 2.2, 1.4.6).
		{"prefers-reduced-motion", "reduce", 4.5, 3},
	}
	b := open(t, "")
	// each looks at what is shown in every way that a reader may prefer.
	each := func(look func(preferred string, text, border float64)) {
		for _, c := range preferences {
			for _, scheme := range []string{"light", "dark"} {
				b.look(map[string]string{c.name: c.value, "prefers-color-scheme": scheme})
				look(c.name+", "+scheme, c.text, c.border)
			}
		}
	}
	for _, p := range d.cover(t) {
		b.goTo(d.address(p))
		b.wait(loaded)
		b.all()
		each(func(preferred string, text, border float64) {
			for _, fault := range eval[[]string](b, fmt.Sprintf("%s(%g, %g)", contrastScript, text, border)) {
				t.Errorf("%s: %s: %s", preferred, p, fault)
			}
		})
		for _, signal := range eval[[]string](b, `[...document.querySelectorAll(".signal")].map((e) => e.textContent.trim())`) {
			if !signals[signal] {
				t.Errorf("%s: a panel's signal word is %q", p, signal)
			}
		}
	}
	b.verdictsSeen(d, each)
}

// verdictsSeen types readings within a limit, on it and outside: each verdict is a word with a shape before it, seen
// as texts are.
func (b *tab) verdictsSeen(d *demo, each func(look func(preferred string, text, border float64))) {
	b.Helper()
	model := d.book.Models[0]
	for _, p := range d.procedures() {
		for _, s := range p.Procedure.Steps {
			if s.Reading == nil || s.Reading.Spec == nil {
				continue
			}
			limit := s.Reading.Spec.For(model)
			if limit == nil || limit.Min == nil || limit.Max == nil || limit.Min.Value <= 0 {
				continue
			}
			_, most := d.book.Readable(s.Reading.Spec)
			b.goLive(d.address(p.Path))
			b.choose(model.ID)
			b.all()
			for verdict, value := range map[string]float64{
				"within": (limit.Min.Value + limit.Max.Value) / 2, "outside": (limit.Max.Value + min(most, 3*limit.Max.Value)) / 2, "close": limit.Max.Value,
			} {
				seen := eval[struct{ Verdict, Word, Shape string }](b, fmt.Sprintf(`((step, value) => {
					const field = step.querySelector(".reading input"), out = step.querySelector("output[name=verdict]");
					field.value = value;
					field.dispatchEvent(new Event("input", {bubbles: true}));
					return {Verdict: out.dataset.verdict ?? "", Word: out.textContent, Shape: getComputedStyle(out, "::before").content};
				})(document.getElementById(%s), %s)`, quoted(s.ID), quoted(strconv.FormatFloat(value, 'g', -1, 64))))
				if seen.Verdict != verdict || seen.Word == "" || len(seen.Shape) < 3 {
					b.Errorf("%s, %s: %g gives %+v, want %s", p.Path, s.ID, value, seen, verdict)
				}
				each(func(preferred string, text, _ float64) {
					for _, fault := range eval[[]string](b, fmt.Sprintf("%s(%g, 0)", contrastScript, text)) {
						b.Errorf("%s: %s, %s: %s", preferred, p.Path, verdict, fault)
					}
				})
			}
			return
		}
	}
	b.Error("no step has a reading with two limits")
}
