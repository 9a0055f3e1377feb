package phone

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"

	"benchleaf/render/handbook"
)

// papers by their size in inches, ISO 216 and ANSI Y14.1.
var papers = map[string][2]float64{"A4": {210 / 25.4, 297 / 25.4}, "Letter": {8.5, 11}}

// print prints the page that is open into a file. A page that names its paper gets
// that one.
func (b *tab) print(paper string) string {
	b.Helper()
	size, own := papers[paper], true
	pdf := call(b, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: size[0], PaperHeight: size[1], PreferCSSPageSize: &own})
	name := filepath.Join(b.TempDir(), "print.pdf")
	b.check(os.WriteFile(name, pdf.Data, 0o600))
	return name
}

// poppler runs a program of the package poppler-utils.
func (b *tab) poppler(name string, args ...string) []byte {
	b.Helper()
	out, err := exec.Command(name, args...).Output()
	if errors.Is(err, exec.ErrNotFound) && os.Getenv("BENCHLEAF_BROWSER") != "required" {
		b.Skip(err)
	}
	if err != nil {
		b.Fatal(name, args, err)
	}
	return out
}

// sheets returns the text of each printed sheet, every blank a single one.
func (b *tab) sheets(pdf string) []string {
	b.Helper()
	text := string(b.poppler("pdftotext", "-enc", "UTF-8", pdf, "-"))
	sheets := strings.Split(strings.TrimSuffix(text, "\f"), "\f")
	for i, s := range sheets {
		sheets[i] = strings.Join(strings.Fields(s), " ")
	}
	return sheets
}

// drawn returns a sheet as a picture. It comes as a grey map, P5, which nobody packs and unpacks.
func (b *tab) drawn(pdf string, sheet, dpi int) image.Image {
	b.Helper()
	data := b.poppler("pdftoppm", "-gray", "-r", fmt.Sprint(dpi), "-f", fmt.Sprint(sheet), "-l", fmt.Sprint(sheet), pdf)
	var width, height int
	_, err := fmt.Sscanf(string(data[:min(len(data), 64)]), "P5\n%d %d\n255\n", &width, &height)
	b.check(err)
	img := image.NewGray(image.Rect(0, 0, width, height))
	if len(data) < len(img.Pix) {
		b.Fatalf("%d bytes for %d × %d", len(data), width, height)
	}
	copy(img.Pix, data[len(data)-len(img.Pix):])
	return img
}

// drawnAll draws every printed sheet.
func (b *tab) drawnAll(pdf string, dpi int) (list []image.Image) {
	b.Helper()
	dir := b.TempDir()
	b.poppler("pdftoppm", "-png", "-gray", "-r", fmt.Sprint(dpi), pdf, filepath.Join(dir, "sheet"))
	files, err := filepath.Glob(filepath.Join(dir, "sheet*"))
	b.check(err)
	for _, name := range files {
		data, err := os.ReadFile(name)
		b.check(err)
		img, err := png.Decode(bytes.NewReader(data))
		b.check(err)
		list = append(list, img)
	}
	return list
}

// decoded reads the QR code in a part of a picture. A phone looks many times at a code; so
// does this reader, with two ways to tell black from white and less and less around it.
func (b *tab) decoded(img image.Image, part image.Rectangle) string {
	b.Helper()
	var last error
	for less := 0; less <= 20; less += 10 {
		seen := part.Inset(less)
		cut := image.NewGray(image.Rect(0, 0, seen.Dx(), seen.Dy()))
		draw.Draw(cut, cut.Bounds(), img, seen.Min, draw.Src)
		source := gozxing.NewLuminanceSourceFromImage(cut)
		for _, binarizer := range []gozxing.Binarizer{gozxing.NewHybridBinarizer(source), gozxing.NewGlobalHistgramBinarizer(source)} {
			bits, err := gozxing.NewBinaryBitmap(binarizer)
			b.check(err)
			got, err := qrcode.NewQRCodeReader().Decode(bits, map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true})
			if err == nil {
				return got.GetText()
			}
			last = err
		}
	}
	b.Errorf("no code in %v: %v", part, last)
	return ""
}

// wholeSheet holds the print of a procedure against the procedure: every sheet
// says of what, of which edition and which one it is; steps and ends are all there.
func wholeSheet(b *tab, d *demo, p *handbook.Page, sheets []string) {
	b.Helper()
	all := strings.Join(sheets, " ")
	edition := d.words.Fill("page.edition", "edition", d.book.Edition)
	for i, s := range sheets {
		for _, part := range []string{p.Title, d.book.Title.In(p.Lang) + " · " + edition + " · " + d.words.Day(d.book.Date), fmt.Sprintf("%d/%d", i+1, len(sheets))} {
			if !strings.Contains(s, part) {
				b.Errorf("%s: sheet %d does not say %q", p.Path, i+1, part)
			}
		}
	}
	var answers []string
	for _, step := range p.Procedure.Steps {
		for _, a := range step.Answers {
			answers = append(answers, strings.Join(strings.Fields(a.Text), " "))
		}
	}
	asked := strings.Join(answers, "\n")
	for _, text := range answers { // as often as it is one: several steps have the same
		if got, want := strings.Count(all, text), strings.Count(asked, text); got < want {
			b.Errorf("%s: the answer %q is there %d times, want %d", p.Path, text, got, want)
		}
	}
	for i, step := range p.Procedure.Steps {
		// A reading names its step, which may stand on the sheet before; of its title the first line.
		if r := step.Reading; r != nil {
			words := strings.Fields(r.Measure)
			if said := fmt.Sprintf("%d · %s", i+1, strings.Join(words[:min(2, len(words))], " ")); !strings.Contains(all, said) {
				b.Errorf("%s: no sheet says %q", p.Path, said)
			}
		}
		for _, panel := range step.Panels {
			if word := d.words.Word("safety." + panel.Level); !strings.Contains(all, word) {
				b.Errorf("%s: no sheet says %s", p.Path, word)
			}
		}
	}
	for _, c := range p.Procedure.Causes {
		// Of a title of two lines the first: the other column's may come between.
		words := strings.Fields(c.Title)
		if !strings.Contains(all, strings.Join(words[:min(3, len(words))], " ")) {
			b.Errorf("%s: the finding %q is missing", p.Path, c.Title)
		}
	}
	for _, word := range []string{"bar.model", "jobs.serial", "jobs.hours", "print.day", "print.who"} {
		if !strings.Contains(sheets[0], d.words.Word(word)) {
			b.Errorf("%s: there is no line for %s", p.Path, d.words.Word(word))
		}
	}
	address := d.book.At(p.Path, "")
	if address == "" || !strings.Contains(unbroken(sheets[0]), unbroken(address)) {
		b.Errorf("%s: the first sheet does not say %s", p.Path, address)
	}
}

// unbroken takes out of a text what comes in, or is lost, where a line of an address
// ends.
func unbroken(s string) string { return strings.NewReplacer(" ", "", "-", "").Replace(s) }

// answersShow fails where a script has put answers of a page, as those of a stopwatch, where paper does not show them.
func answersShow(b *tab, p *handbook.Page) {
	b.Helper()
	call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	for _, lost := range eval[[]string](b, `[...document.querySelectorAll(".step .answers a")].filter((a) => !a.getClientRects().length).map((a) => a.closest(".step").id + ": " + a.textContent)`) {
		b.Errorf("%s: paper does not show the answer %q", p.Path, lost)
	}
	call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
}

// mostSheets is what a procedure of the demo may take. One column took eleven to
// twenty-four, two of whole steps five to nine.
const mostSheets = 8

// leastFilled is how far down the columns of a procedure's sheets go on average, of the last sheet
// apart. With whole steps it was two thirds to nine tenths.
const leastFilled = 0.8

// filled tells of both columns of a sheet how far down there is ink on it, in proportion to the paper within
// its margins, which are 9 mm and 13 mm of 297.
func filled(img image.Image) [2]float64 {
	size := img.Bounds()
	top, bottom := size.Max.Y*9/297, size.Max.Y*(297-13)/297
	ink := func(x, y int) bool {
		grey, _, _, _ := img.At(x, y).RGBA()
		return grey < 0xc000
	}
	var f [2]float64
	for y := top; y < bottom; y++ {
		for x := range size.Max.X {
			if ink(x, y) {
				f[2*x/size.Max.X] = float64(y-top) / float64(bottom-top)
			}
		}
	}
	return f
}

// TestPrint prints every procedure on both papers, and looks at the text, the last
// sheet, and the code, with a decoder of its own.
func TestPrint(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	for _, p := range d.procedures() {
		b.goLive(d.address(p.Path))
		for _, paper := range []string{"A4", "Letter"} {
			pdf := b.print(paper)
			sheets := b.sheets(pdf)
			t.Logf("%s: %d sheets of %s", p.Path, len(sheets), paper)
			if len(sheets) > mostSheets {
				t.Errorf("%s takes %d sheets of %s, at most %d", p.Path, len(sheets), paper, mostSheets)
			}
			wholeSheet(b, d, p, sheets)
			lastSheet(b, d, p, paper, pdf, sheets)
			if paper == "A4" {
				sum := 0.0
				for _, img := range b.drawnAll(pdf, 30)[:len(sheets)-1] {
					f := filled(img)
					sum += f[0] + f[1]
				}
				if share := sum / float64(2*len(sheets)-2); share < leastFilled {
					t.Errorf("%s: the columns are filled to %.0f %%, want %.0f %%", p.Path, 100*share, 100*leastFilled)
				}
				img := b.drawn(pdf, 1, 200)
				size := img.Bounds()
				head := image.Rect(size.Max.X*3/4, 0, size.Max.X, size.Max.Y/5)
				if got, want := b.decoded(img, head), d.book.At(p.Path, ""); got != want {
					t.Errorf("the code leads to %s, want %s", got, want)
				}
			}
		}
		answersShow(b, p) // last: what it makes the browser fetch would still be under way while it prints
	}
}

// TestPrintKeepsTogether: a term stands on the sheet of what it means, and what a value was on that of its name. A text is on one sheet
// alone; those of two rows come from a sheet in any order.
func TestPrintKeepsTogether(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	for name, parts := range map[string][][]string{
		"en/theory/terms.html":     {{"ground (earth, chassis) Engine and frame"}, {"muffler (silencer, exhaust pot) What quietens"}},
		"en/reference/values.html": {{"Top no-load speed 3,600"}, {"more open each minute", "Heater voltage, restarted"}}, // no row alone
	} {
		b.goLive(d.address(name))
		for paper := range papers {
			sheets := b.sheets(b.print(paper))
			for _, part := range parts {
				var on []int
				for i, sheet := range sheets {
					for _, text := range part {
						if strings.Contains(sheet, text) {
							on = append(on, i)
						}
					}
				}
				if len(on) != len(part) || on[0] != on[len(on)-1] {
					t.Errorf("%s on %s: %q is on the sheets %d: %q", name, paper, part, on, sheets)
				}
			}
		}
	}
}

// TestPrintOfSafety: a signal word of the demo, and the longest of a language, stays within its frame, and what follows the messages stands
// clear of them.
func TestPrintOfSafety(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	for _, name := range []string{"en/procedures/idle-wrong.html", "es/procedures/idle-wrong.html"} {
		b.goLive(d.address(name))
		call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		for _, word := range []string{"", "AVERTISSEMENT"} {
			for _, fault := range eval[[]string](b, `[...document.querySelectorAll(".step .safety")].flatMap((e) => {
				const signal = e.querySelector(".signal"), word = document.createRange(), next = e.nextElementSibling, faults = [];
				signal.textContent = `+quoted(word)+` || signal.textContent;
				word.selectNodeContents(signal);
				if (word.getBoundingClientRect().width > signal.clientWidth) faults.push(signal.textContent + " has no room");
				if (!next.matches(".safety") && next.getBoundingClientRect().top - e.getBoundingClientRect().bottom < 3) faults.push(next.textContent.trim().slice(0, 50) + " stands at a message");
				return faults;
			})`) {
				t.Errorf("%s on paper: %s", name, fault)
			}
		}
		call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
	}
}

// TestPrintOfFewSheets: pages of a sheet or two take no other one for their last lines.
func TestPrintOfFewSheets(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	for name, most := range map[string]int{
		"en/theory/terms.html": 1, "es/theory/terms.html": 1, "en/theory/safety.html": 1, "es/theory/pull-off.html": 1, "es/theory/meter.html": 2,
		"en/procedures/does-not-stop.html": 4, "es/procedures/choke-opens-early.html": 4, "es/procedures/dies-after-start.html": 5,
	} {
		b.goLive(d.address(name))
		for paper := range papers {
			if sheets := b.sheets(b.print(paper)); len(sheets) > most {
				t.Errorf("%s takes %d sheets of %s", name, len(sheets), paper)
			}
		}
	}
}

// TestPrintOfFinder: the finder is a sheet of paper with two sides, all that it names is on it, and none of that is smaller than
// 8 points.
func TestPrintOfFinder(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	for _, name := range []string{"index.html", "es/index.html"} {
		b.goLive(d.address(name))
		named := eval[[]string](b, `[...document.querySelectorAll(".answers a, .foot p")].map((e) => e.textContent.replace(/\s+/g, " ").trim())`)
		if len(named) < 50 {
			t.Errorf("%s names %d pages", name, len(named))
		}
		for paper := range papers {
			sheets := b.sheets(b.print(paper))
			if len(sheets) > 2 {
				t.Errorf("%s takes %d sheets of %s", name, len(sheets), paper)
			}
			for _, text := range named {
				if !strings.Contains(strings.Join(sheets, " "), text) {
					t.Errorf("%s on %s does not say %q", name, paper, text)
				}
			}
		}
		call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		for _, small := range eval[[]string](b, `[...document.querySelectorAll("main section *, .intro *")].filter((e) => parseFloat(getComputedStyle(e).fontSize) < 8 * 96 / 72 - 0.01).map((e) => e.outerHTML)`) {
			t.Errorf("%s has smaller letters on paper: %s", name, small)
		}
		// Browsers that know the language would break the page's address with a hyphen that is not in it.
		if got := eval[string](b, `getComputedStyle(document.querySelector(".address")).hyphens`); got != "none" {
			t.Errorf("%s: the address has hyphens: %s", name, got)
		}
		call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
	}
}

// TestPrintOfJobsPage prints the page of jobs where none is open: it says how one begins, and lists those that are kept.
func TestPrintOfJobsPage(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.goLive(d.address("jobs.html"))
	if sheets := b.sheets(b.print("A4")); len(sheets) != 1 || !strings.Contains(sheets[0], "A job begins by itself") {
		t.Errorf("the page of jobs prints %q", sheets)
	}
}

// TestPrintOfWhatComesFirst: what a step requires and the step that does it stand on one line of the sheet.
func TestPrintOfWhatComesFirst(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.goLive(d.address("en/procedures/choke-opens-late.html"))
	text := string(b.poppler("pdftotext", "-enc", "UTF-8", "-layout", b.print("A4"), "-"))
	if !regexp.MustCompile(`First Fuse F2 out; Connector X3 open: 2\b`).MatchString(text) {
		t.Errorf("the sheet says %q", text)
	}
}

// TestPrintOfProcedureUnderWay: who prints in the middle of a job gets the whole
// sheet, and so does who has no script.
func TestPrintOfProcedureUnderWay(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	p := d.procedures()[0]
	b.goLive(d.address(p.Path))
	before := b.sheets(b.print("A4"))
	b.tap(`document.querySelector(".begin a")`)
	b.wait(`document.activeElement.matches(".step.current h2")`) // the sheet has moved there
	b.tap(`[...document.querySelectorAll(".step.current .answers a")].find((a) => a.getAttribute("href").startsWith("#"))`)
	b.wait(`document.querySelector(".current").id !== ` + quoted(p.Procedure.Steps[0].ID))
	under := b.sheets(b.print("A4"))
	wholeSheet(b, d, p, under)
	b.script(false)
	b.goTo(d.address(p.Path))
	without := b.sheets(b.print("A4"))
	wholeSheet(b, d, p, without)
	if len(under) != len(before) || len(without) != len(before) {
		t.Errorf("%d sheets, under way %d, without script %d", len(before), len(under), len(without))
	}
}

// TestPrintOfCalculator: what was entered and what follows are there, and nothing to
// tap.
func TestPrintOfCalculator(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	const path = "en/bench/wires.html"
	b.goLive(d.address(path))
	all := strings.Join(b.sheets(b.print("A4")), " ")
	p := d.book.Pages[slices.IndexFunc(d.book.Pages, func(p *handbook.Page) bool { return p.Path == path })]
	for _, c := range p.Calculators {
		for _, q := range slices.Concat(c.Calc.Inputs, c.Calc.Results) {
			if !strings.Contains(all, q.Symbol) {
				t.Errorf("%s of %s is missing", q.Name, c.ID)
			}
		}
	}
	for _, word := range []string{"calculator.clear", "units.title", "units.inch"} {
		if text := d.words.Word(word); strings.Contains(all, text+" ") {
			t.Errorf("on paper stands %q", text)
		}
	}
}

// TestPrintOfFlow: the picture of a procedure is on one sheet of either paper.
func TestPrintOfFlow(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	for _, p := range d.procedures() {
		b.goLive(d.address(p.FlowPath()))
		for paper := range papers {
			if sheets := b.sheets(b.print(paper)); len(sheets) != 1 {
				t.Errorf("%s takes %d sheets of %s", p.FlowPath(), len(sheets), paper)
			}
		}
	}
}

// TestLabels prints the sheet of labels and reads the code of each where its label
// lies on the paper.
func TestLabels(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	lang := d.book.Languages[0]
	labels, want := d.book.Labels, d.book.LabelsIn(lang)
	if labels == nil || len(want) < len(d.procedures())+len(d.book.Models) {
		t.Fatalf("the demo has %d labels", len(want))
	}
	b.goLive(d.address("labels.html"))
	pdf := b.print("Letter") // the paper is the labels', whatever is asked for
	const dpi = 300
	px := func(mm float64) int { return int(mm / 25.4 * dpi) }
	each := labels.Columns * labels.Rows
	texts := b.sheets(pdf)
	if len(texts) != (len(want)+each-1)/each {
		t.Fatalf("%d labels take %d sheets", len(want), len(texts))
	}
	var img image.Image
	for i, label := range want {
		if i%each == 0 {
			img = b.drawn(pdf, 1+i/each, dpi)
			if got := img.Bounds().Size(); abs(got.X-px(labels.Paper.Width)) > 2 || abs(got.Y-px(labels.Paper.Height)) > 2 {
				t.Fatalf("the paper has %v dots, want %s", got, labels.Paper.Name)
			}
		}
		left := labels.Left() + float64(i%labels.Columns)*(labels.Width+labels.Gap)
		top := labels.Top() + float64(i%each/labels.Columns)*labels.Height
		at := image.Rect(px(left), px(top), px(left+labels.Width), px(top+labels.Height))
		if got := b.decoded(img, at); got != label.Address {
			t.Errorf("label %d leads to %q, want %s", i+1, got, label.Address)
		}
		if text := texts[i/each]; !strings.Contains(text, label.Title) || !strings.Contains(unbroken(text), unbroken(label.Address)) {
			t.Errorf("label %d does not say %q and %s", i+1, label.Title, label.Address)
		}
	}
	// What a code leads to is in the edition: a page, and on it the place.
	anchor := regexp.MustCompile(`\bid="([^"]+)"`)
	for _, label := range want {
		to, id, _ := strings.Cut(strings.TrimPrefix(label.Address, d.book.Address), "#")
		file, _, _ := strings.Cut(to, "?")
		if !slices.Contains(d.pages, file) {
			t.Errorf("%s is no page", file)
			continue
		}
		var ids []string
		for _, m := range anchor.FindAllSubmatch(d.read(t, file), -1) {
			ids = append(ids, string(m[1]))
		}
		if id != "" && !slices.Contains(ids, id) {
			t.Errorf("%s has no %s", file, id)
		}
	}
}

// TestLabelOfModel: the code on a machine chooses its model.
func TestLabelOfModel(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	h := serve(t, d.dir, "engines/")
	b := open(t, h.address)
	for _, m := range d.book.Models {
		b.goTo(h.address + "index.html?model=" + m.ID)
		b.wait(`document.querySelector("select[name=model]").value === ` + quoted(m.ID))
		b.goLive(h.address + d.procedures()[0].Path)
		b.wait(`document.querySelector("select[name=model]").value === ` + quoted(m.ID))
	}
}

func abs(n int) int { return max(n, -n) }

// leastLines is how many lines the last sheet of a procedure has at least, with its title and its margin: an end of two lines and the step before.
const leastLines = 9

// lastSheet: no sheet has the handbook's notice alone on it, which stands at the head of the first; limits of a stopwatch and its
// answers stay on one sheet, and what an answer leads to on another sheet comes behind its arrow.
func lastSheet(b *tab, d *demo, p *handbook.Page, paper, pdf string, sheets []string) {
	b.Helper()
	notice := strings.Join(strings.Fields(d.book.Notice.In(p.Lang)), " ")
	if strings.Count(strings.Join(sheets, " "), notice) != 1 || !strings.Contains(sheets[0], notice) {
		b.Errorf("%s on %s: the notice does not stand on the first sheet, once", p.Path, paper)
	}
	last := strings.Split(string(b.poppler("pdftotext", "-layout", "-f", fmt.Sprint(len(sheets)), pdf, "-")), "\n")
	last = slices.DeleteFunc(last, func(s string) bool { return strings.TrimSpace(s) == "" })
	b.Logf("%s on %s: %d lines on the last sheet", p.Path, paper, len(last))
	if len(last) < leastLines {
		b.Errorf("%s on %s: the last sheet has %d lines: %q", p.Path, paper, len(last), last)
	}
	if p.Key == "procedures/black-smoke" && p.Lang == "en" {
		all := strings.Join(sheets, " ")
		if !strings.Contains(all, "Too soon → Choke opens too soon") {
			b.Error("an arrow does not stand before what it leads to")
		}
		if !slices.ContainsFunc(sheets, func(s string) bool {
			_, after, found := strings.Cut(s, "Time until the lever stands at its stop, repaired")
			return found && strings.Contains(after, "It never comes")
		}) {
			b.Errorf("on %s the limits of a stopwatch are parted from its answers", paper)
		}
	}
}

// TestPrintOfUnit: the unit of a printed field stands beside its number.
func TestPrintOfUnit(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.goLive(d.address("en/theory/air.html"))
	text := string(b.poppler("pdftotext", "-layout", b.print("A4"), "-"))
	if !regexp.MustCompile(`Fuel used rate.* 0\.95 +L/h`).MatchString(text) {
		t.Errorf("a unit stands elsewhere than beside its number: %q", text)
	}
}
