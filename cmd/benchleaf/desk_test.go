package main

import (
	"bytes"
	"net"
	"strconv"
	"strings"
	"testing"

	"benchleaf/render/desk"
	"benchleaf/render/remark"
)

func TestDeskUsage(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	taken := strconv.Itoa(l.Addr().(*net.TCPAddr).Port)
	dir := t.TempDir()
	for _, c := range []struct {
		arguments []string
		status    int
		says      string
	}{
		{[]string{"-port", "70000", dir}, statusUsage, "70000 is no port"},
		{[]string{"-port", "abc", dir}, statusUsage, `invalid value "abc" for flag -port: it is no number`},
		{[]string{"-address", "192.168.1.2", dir}, statusUsage, "-address goes with -phone only"},
		{[]string{"-phone", "-address", "my-laptop", dir}, statusUsage, `"my-laptop" is no address such as`},
		{[]string{dir, dir}, statusUsage, "is one argument too many"},
		{[]string{dir + "/none"}, statusUsage, "there is no such folder"},
		{[]string{"-port", taken, dir}, statusMachine, "the port is taken; choose another one with -port"},
	} {
		var out, errs bytes.Buffer
		if status := Run(append([]string{"desk"}, c.arguments...), nil, &out, &errs); status != c.status || !strings.Contains(errs.String(), c.says) {
			t.Errorf("%q: status %d, %s", c.arguments, status, errs.String())
		}
	}
}

// A remark is told once, however its line moves, and that it is mended.
func TestDeskTells(t *testing.T) {
	var errs bytes.Buffer
	tell := teller{call: &call{stderr: &errs}}
	at := func(line int) remark.Remark {
		r := remark.FileLink.At(remark.Place{File: "a.md", Line: line, Column: 1})
		r.Source = "the line"
		return r
	}
	for _, c := range []struct {
		remarks  remark.List
		told     int // places
		counting string
	}{
		{nil, 0, "no remarks\n"},
		{remark.List{at(3)}, 1, "1 error\n"},
		{remark.List{at(9)}, 0, ""},
		{remark.List{at(9), at(12)}, 1, "2 errors\n"},
		{remark.List{at(9)}, 0, "1 mended; now: 1 error\n"},
		{nil, 0, "1 mended; now: no remarks\n"},
		{nil, 0, ""},
	} {
		errs.Reset()
		tell.tell(&desk.Built{Remarks: c.remarks}, nil, 0, nil)
		if got := errs.String(); strings.Count(got, "a.md:") != c.told || !strings.HasSuffix(got, c.counting) || c.told == 0 && got != c.counting {
			t.Errorf("of %d remarks: %q", len(c.remarks), got)
		}
	}
}
