package phone

import (
	"fmt"
	"hash/crc32"
	"math/rand/v2"
	"strings"
	"testing"

	"benchleaf/render/record"
)

// sealed puts the check behind a short form.
func sealed(text string) string {
	return fmt.Sprintf("%s*%08X", text, crc32.ChecksumIEEE([]byte(text)))
}

// TestShortFormIsTakenIn feeds short forms, whole and spoiled ones, to the page and
// to the reader in Go: the same ones are refused by both, and what is taken in is
// the same record, marked as shortened.
func TestShortFormIsTakenIn(t *testing.T) {
	t.Parallel()
	d := compiled(t)
	b := open(t, "")
	b.one(d, usual(otherID))
	b.jobs(d, "")
	short := func(r *record.Record) string {
		t.Helper()
		line, err := record.EncodeShort(r)
		if err != nil {
			t.Fatal(err)
		}
		return line
	}
	if got := b.take(short(usual(otherID))); !strings.Contains(got[0].Told, "and the same") {
		t.Errorf("of a job that is here: %q", got[0].Told)
	}
	// The whole record over its own short form asks nothing, and says more.
	thirdID := strings.Repeat("5a", 16)
	all := usual(thirdID)
	if got := b.take(short(all)); !got[0].Taken {
		t.Fatalf("refused: %s", got[0].Told)
	}
	if got := b.take(encoded(t, all)); !strings.HasPrefix(got[0].Told, "Taken in: ") {
		t.Errorf("the whole record over its short form: %q", got[0].Told)
	}
	if got := encoded(t, b.stored(thirdID)); got != encoded(t, all) {
		t.Errorf("the whole record is %s", got)
	}
	long := usual(jobID)
	long.Machine.Serial = "Ñ 100 %/ß*:"
	long.Entries[8].To, long.Entries[8].Verification = "other/sheet.html#x", true
	long.Entries[3].To = "#s9"
	long.Findings = append(long.Findings, record.Finding{End: record.EndHandOver, Page: "procedures/other", At: long.Changed})
	long.Closed, long.Left = long.Changed, []string{"plug-out", "b"}
	line := short(long)
	want, err := record.DecodeShort(line)
	if err != nil {
		t.Fatal(err)
	}
	if got := b.take(line + "\n"); !got[0].Taken {
		t.Fatalf("refused: %s", got[0].Told)
	}
	if got := encoded(t, b.stored(jobID)); got != encoded(t, want) {
		t.Errorf("taken in\n%s\nwant\n%s", got, encoded(t, want))
	}

	body := line[:strings.LastIndexByte(line, '*')]
	texts := []string{line[:len(line)-1], line[:40], strings.ToLower(line), strings.Replace(line, "LEAF-1", "LEAF-2", 1), body, sealed("BENCHLEAF-1"), sealed("BENCHLEAF-01" + body[11:]), "BENCHLEAF-x", sealed(body + "*"), sealed(body + "*P"), sealed(body + "*Q")}
	random := rand.New(rand.NewPCG(7, 8))
	pieces := strings.SplitAfter(strings.ReplaceAll(strings.ReplaceAll(body, "*", "\x00*\x00"), ":", "\x00:\x00"), "\x00")
	for range 500 {
		list := append([]string{}, pieces...)
		i, j := 1+random.IntN(len(list)-1), 1+random.IntN(len(list)-1)
		switch random.IntN(4) {
		case 0:
			list[i] = ""
		case 1:
			list[i] += list[i]
		case 2:
			list[i], list[j] = list[j], list[i]
		default:
			list[i] = []string{"0", "-1", "", ":", "*", "/", "V", "C", "Z", "1.5", "%4", "%C3", "$", "ZZZZZZZZ", "+2"}[random.IntN(15)]
		}
		texts = append(texts, sealed(strings.ReplaceAll(strings.Join(list, ""), "\x00", "")))
	}
	accepted, got := 0, b.take(texts...)
	for i, text := range texts {
		_, err := record.DecodeShort(text)
		if got[i].Taken != (err == nil) {
			t.Errorf("%q: the page says %q, the reader %v", text, got[i].Told, err)
		}
		if got[i].Taken {
			accepted++
		} else if !strings.HasPrefix(got[i].Told, "The text: refused. It ") && !strings.HasPrefix(got[i].Told, "The text: refused. This ") || strings.ContainsAny(got[i].Told, "{}") {
			t.Errorf("%q is refused without a reason in plain words: %q", text, got[i].Told)
		}
	}
	t.Logf("%d of %d were taken in", accepted, len(texts))
	if accepted < 20 || accepted > len(texts)-100 {
		t.Errorf("%d of %d were taken in", accepted, len(texts))
	}
	if got := encoded(t, b.stored(otherID)); got != encoded(t, usual(otherID)) {
		t.Errorf("after all that the other record is %s", got)
	}

	b.jobs(d, "")
	if marked := eval[[]string](b, `[...document.querySelectorAll(".jobs li")].filter((e) => e.textContent.includes("shortened")).map((e) => e.querySelector("b").textContent)`); len(marked) != 1 || !strings.HasPrefix(marked[0], long.Machine.Serial) {
		t.Errorf("marked as shortened: %q", marked)
	}
	b.jobs(d, "#"+jobID)
	sheet := eval[string](b, `document.querySelector(".stand").textContent + document.querySelector(".record").textContent.replaceAll("\u00a0", " ")`)
	for _, text := range []string{"closed · shortened", "shortened, from the short form, edition 2026-11", "3 s3", "8.2 V, Limit 12.2 to 14.4 V", "Outside: too low", "→ #s4", "relay"} {
		if !strings.Contains(sheet, text) {
			t.Errorf("the sheet lacks %q: %s", text, sheet)
		}
	}
}
