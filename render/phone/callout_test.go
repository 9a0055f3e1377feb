package phone

import (
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

const openPicture = `document.querySelector("dialog.enlarged[open]")`

// TestPictureOpensLarge taps a picture: it covers what the screen has room for, with what its numbers are and a
// key at the thumb; it closes by key and by Escape, and the focus comes back.
func TestPictureOpensLarge(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	axe := axeScript(t)
	b := open(t, "")
	b.size(phoneWidth, phoneHeight)
	for _, scheme := range []string{"light", "dark"} {
		b.prefer("prefers-color-scheme", scheme)
		b.goLive(d.address("en/theory/choke.html"))
		picture := `document.querySelector("a.large")`
		small := eval[float64](b, picture+`.firstElementChild.getBoundingClientRect().height`)
		b.tap(picture)
		b.wait(openPicture)
		b.wait(openPicture + `.querySelector("img").complete`)
		for what, holds := range map[string]string{
			"the picture covers the view":      `(({width, height}, v) => width >= v.clientWidth && height > v.clientHeight - 1)(sheet.querySelector("img").getBoundingClientRect(), sheet.querySelector(".view"))`,
			"it is larger than on the page":    `sheet.querySelector("img").getBoundingClientRect().height > 1.5 * ` + quoted(small),
			"and is not distorted":             `(({width, height}) => Math.abs(width / height - 360 / 300) < 0.01)(sheet.querySelector("img").getBoundingClientRect())`,
			"a finger moves it":                `(sheet.querySelector(".view").scrollBy(40, 0), sheet.querySelector(".view").scrollLeft > 0)`,
			"all five numbers have their text": `sheet.querySelectorAll("li").length === 5 && sheet.querySelectorAll("[id]").length === 0`,
			"the key is for a glove":           `sheet.querySelector("button").offsetHeight >= 44 && sheet.querySelector("button").offsetWidth >= 44`,
			"and at the thumb":                 `sheet.querySelector("button").getBoundingClientRect().top > innerHeight * 2 / 3 && sheet.querySelector("button").getBoundingClientRect().bottom <= innerHeight`,
			"it has the picture's words":       `sheet.getAttribute("aria-label") === "Choke cold: the plate is shut"`,
		} {
			if !eval[bool](b, `((sheet) => `+holds+`)(`+openPicture+`)`) {
				t.Errorf("%s: not so: %s", scheme, what)
			}
		}
		eval[bool](b, axe)
		b.axe("a picture at large, " + scheme)
		b.tap(openPicture + `.querySelector("button")`)
		b.wait(`!` + openPicture + ` && document.activeElement === ` + picture)
		number := `document.querySelector("a.callout[href='#callout-2-2']")`
		b.tap(number)
		b.wait(openPicture + `?.querySelector("[aria-current]").textContent.startsWith("Heater coil")`)
		b.keys(kb.Escape)
		b.wait(`!` + openPicture + ` && document.activeElement === ` + number)
	}

	// Without script the picture's file opens, and the number leads to its line.
	b.script(false)
	b.goTo(d.address("en/theory/choke.html"))
	b.tap(`document.querySelector("a.callout")`)
	b.wait(`document.querySelector(":target")?.matches("li")`)
	b.tap(`document.querySelector("a.large")`)
	b.wait(`location.pathname.endsWith("/pictures/choke-cold.svg")`)
}

// TestPictureOfStep opens the picture of a step by its number in the text: the step stays, and what leads on from
// the picture's list closes it.
func TestPictureOfStep(t *testing.T) {
	t.Parallel()
	source := filepath.Join("testdata", "pump")
	d, err := compile(source, "pump")
	if err != nil {
		t.Fatal(err)
	}
	b := open(t, "")
	b.size(phoneWidth, phoneHeight)
	b.goLive(d.address("en/procedures/no-water.html"))
	b.tap(`document.querySelector(".current .answers a")`)
	b.wait(`document.querySelector(".current").id === "strainer"`)
	b.tap(`document.querySelector(".current a.callout")`)
	b.wait(openPicture + `?.querySelector("[aria-current]")?.textContent.startsWith("Strainer")`)
	if !eval[bool](b, `document.querySelector(".current").id === "strainer" && location.hash === "#strainer"`) {
		t.Error("the number leads away from its step")
	}
	b.leave("history.back()")
	b.wait(`!` + openPicture + ` && document.querySelector(".current").id === "tank"`)
	b.tap(`document.querySelector(".current .answers a")`)
	b.wait(`document.querySelector(".current").id === "strainer"`)
	b.tap(`document.querySelector(".current a.large")`)
	b.tap(openPicture + `.querySelector("li a")`)
	b.wait(`!` + openPicture + ` && document.querySelector(".current").id === "tank"`)
}

// TestPictureInOneFile does so in a handbook that is one file: there the picture has no file of its own.
func TestPictureInOneFile(t *testing.T) {
	t.Parallel()
	v := bound(t)
	b := open(t, "")
	b.size(phoneWidth, phoneHeight)
	b.goLive(v.address("en/theory/choke.html", ""))
	b.wait(`document.querySelector("button.large")`)
	b.tap(`document.querySelector("button.large")`)
	b.wait(openPicture + ` && ` + openPicture + `.querySelectorAll("li").length === 5`)
	if !eval[bool](b, `(({width, height}, v) => width >= v.clientWidth && height > v.clientHeight - 1)(`+openPicture+`.querySelector("svg").getBoundingClientRect(), `+openPicture+`.querySelector(".view"))`) {
		t.Error("the picture does not cover the view")
	}
	b.keys(kb.Escape)
	b.wait(`!` + openPicture + ` && document.activeElement.matches("button.large")`)
	b.tap(`document.querySelector("a.callout")`)
	b.wait(openPicture + `?.querySelector("[aria-current]")`)
	b.keys(kb.Escape)
	b.wait(`!` + openPicture)
}

// TestPictureOpensAtCallout: the number that was tapped stands in the middle of what is seen of its picture, in a ring, and where none
// was tapped the numbers are seen. So it does from right to left, in one file, and after the phone is turned.
func TestPictureOpensAtCallout(t *testing.T) {
	t.Parallel()
	d, v := compiled(t), bound(t)
	b := open(t, "")
	// Where the numbers are that a drawing has in its file, in units of its view box: what is seen of it is worked out here.
	const seen = `((x, y) => {
		const view = document.querySelector("dialog.enlarged .view").getBoundingClientRect();
		const shown = document.querySelector("dialog.enlarged :is(img, .picture)").getBoundingClientRect();
		const [left, top] = [shown.left + x * shown.width, shown.top + y * shown.height];
		return left > view.left + 10 && left < view.right - 10 && top > view.top + 10 && top < view.bottom - 10;
	})`
	const ringed = `((x, y) => {
		const ring = document.querySelector("dialog.enlarged .ring").getBoundingClientRect();
		const shown = document.querySelector("dialog.enlarged :is(img, .picture)").getBoundingClientRect();
		return Math.hypot((ring.left + ring.right) / 2 - shown.left - x * shown.width, (ring.top + ring.bottom) / 2 - shown.top - y * shown.height) < shown.width / 100;
	})`
	for _, address := range []string{d.address("en/theory/choke.html"), v.address("en/theory/choke.html", "")} {
		for _, dir := range []string{"ltr", "rtl"} {
			b.size(320, 640)
			b.goLive(address)
			eval[bool](b, `(document.documentElement.dir = `+quoted(dir)+`, true)`)
			for _, at := range []string{"294 / 360, 108 / 300", "168 / 360, 54 / 300"} {
				number := map[string]string{"294 / 360, 108 / 300": "5", "168 / 360, 54 / 300": "2"}[at]
				b.tap(`document.querySelector("a.callout[href$='callout-2-` + number + `']")`)
				b.wait(openPicture + `?.querySelector(".view .ring")`)
				b.wait(seen + `(` + at + `)`)
				b.wait(ringed + `(` + at + `)`)
				b.size(640, 320)
				b.wait(seen + `(` + at + `)`)
				b.wait(ringed + `(` + at + `)`)
				b.size(320, 640)
				b.keys(kb.Escape)
				b.wait(`!` + openPicture)
			}
		}
	}
	b.goLive(d.address("en/theory/meter.html"))
	b.tap(`document.querySelector(".large:has(.marked)")`)
	b.wait(openPicture)
	for _, at := range []string{".52, .38", ".54, .22", ".64, .34", ".7, .88"} {
		b.wait(seen + `(` + at + `)`)
	}
	if eval[bool](b, `document.querySelector(".ring") !== null`) {
		t.Error("a number has a ring for which nobody asked")
	}
}
