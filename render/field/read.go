package field

import (
	"bufio"
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"

	"benchleaf/render/record"
)

// Refusal says which file, or line of one, was not taken, and why.
type Refusal struct {
	Name    string
	Reason  string
	Machine bool // the disk or a permission, no damage of the file
}

func (r Refusal) String() string { return r.Name + ": " + r.Reason }

// Files are the files to read.
type Files struct {
	Paths []string
	Bytes int64
	Other int // files of folders whose ending is not that of a record
}

// endings are those of the files that are read in folders.
var endings = []string{".json", ".jsonl", ".txt"}

// Find lists the files that are named, and those of records in the folders that
// are named and below. A name that does not exist is an error.
func Find(names []string) (Files, error) {
	var f Files
	taken := map[string]bool{}
	for _, name := range names {
		err := filepath.WalkDir(name, func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			switch {
			case d.IsDir() || taken[path]:
				return nil
			case path != name && !slices.Contains(endings, strings.ToLower(filepath.Ext(path))):
				f.Other++
				return nil
			}
			taken[path] = true
			f.Paths = append(f.Paths, path)
			if info, err := d.Info(); err == nil {
				f.Bytes += info.Size()
			}
			return nil
		})
		if err != nil {
			return f, err
		}
	}
	return f, nil
}

// Intake reads files into a Sum.
type Intake struct {
	Sum *Sum
	// Refuse is told of each file or line that is not taken; Progress of each piece
	// that was read, in bytes. Neither may be nil.
	Refuse   func(Refusal)
	Progress func(bytes int)

	Read      int       // records that could be read
	Same      int       // of them, those that another one with the same id stands for
	Conflicts int       // of them, two of the same time that differ
	Refused   int       // files and lines
	Refusals  []Refusal // the first of them

	latest map[[16]byte]state
	paths  []string
	buffer *bufio.Reader // for one file after the other
}

// maxRefusals bounds the refusals that are kept for a report.
const maxRefusals = 10_000

func (in *Intake) refuse(r Refusal) {
	if in.Refused++; len(in.Refusals) < maxRefusals {
		in.Refusals = append(in.Refusals, r)
	}
	in.Refuse(r)
}

// state is what is kept of a record: which state of the job it is, and where it
// can be read again.
type state struct {
	changed int64 // microseconds
	path    int32
	reduced bool // a short form
	line    bool // it is a line of the file, not all of it
	offset  int64
}

// File reads one file. The error tells of a record that could be read before and
// cannot be now.
func (in *Intake) File(path string) error {
	file, err := open(path)
	if err != nil {
		in.refuse(Refusal{path, reason(err), true})
		return nil
	}
	defer file.Close()
	if in.latest == nil {
		in.latest = map[[16]byte]state{}
	}
	in.paths = append(in.paths, path)
	if in.buffer == nil {
		in.buffer = bufio.NewReaderSize(nil, 64<<10)
	}
	from := in.buffer
	from.Reset(counted{file, in.Progress})
	if many(path, from) {
		return in.lines(path, from)
	}
	r, err := record.Decode(from)
	return in.take(path, r, err, state{})
}

// open opens a regular file: to open a pipe is to wait for its writer.
func open(path string) (*os.File, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular():
		return nil, errors.New("it is no regular file")
	}
	return os.Open(path)
}

// many tells whether a file holds a record a line. A text does, unless it is
// JSON: records are shared as text where a phone shares nothing else.
func many(path string, from *bufio.Reader) bool {
	head, _ := from.Peek(512)
	head = bytes.TrimLeft(head, "\xef\xbb\xbf \t\r\n")
	switch strings.ToLower(filepath.Ext(path)) {
	case ".jsonl":
		return true
	case ".txt":
		return !bytes.HasPrefix(head, []byte("{"))
	}
	return record.IsShort(string(head))
}

// lines reads a file of one record a line, in either form.
func (in *Intake) lines(path string, from *bufio.Reader) error {
	var others []int // further lines that are not meant to be records
	foreign := false
	for number, offset := 1, int64(0); ; number++ {
		line, size, err := readLine(from)
		text := bytes.TrimSpace(bytes.TrimPrefix(line, []byte("\xef\xbb\xbf")))
		name := fmt.Sprintf("%s:%d", path, number)
		switch {
		case err != nil && !errors.Is(err, io.EOF):
			in.refuse(Refusal{name, reason(err), true})
			return nil
		case size > record.MaxSize:
			in.refuse(Refusal{name, fmt.Sprintf("it is larger than %d bytes", record.MaxSize), false})
		case foreign && isForeign(path, text):
			others = append(others, number)
		case len(text) > 0:
			foreign = foreign || isForeign(path, text)
			r, reduced, err := decodeLine(text)
			if err := in.take(name, r, err, state{line: true, offset: offset, reduced: reduced}); err != nil {
				return err
			}
		}
		if err != nil {
			break
		}
		offset += size
	}
	if len(others) > 0 {
		in.refuse(Refusal{path, "no job records either: " + linesText(others), false})
	}
	return nil
}

// linesText names lines, those that follow one another by the first and the last,
// ten such runs at most.
func linesText(numbers []int) string {
	var b strings.Builder
	b.WriteString("line")
	if len(numbers) > 1 {
		b.WriteString("s")
	}
	for i, runs := 0, 0; i < len(numbers); runs++ {
		if runs == 10 {
			fmt.Fprintf(&b, ", and %d more", len(numbers)-i)
			break
		}
		last := i
		for last+1 < len(numbers) && numbers[last+1] == numbers[last]+1 {
			last++
		}
		if i > 0 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, " %d", numbers[i])
		if last > i {
			fmt.Fprintf(&b, " to %d", numbers[last])
		}
		i = last + 1
	}
	return b.String()
}

// isForeign tells whether a line of a text is not meant to be a record; a letter
// may stand around one.
func isForeign(path string, text []byte) bool {
	return len(text) > 0 && !strings.EqualFold(filepath.Ext(path), ".jsonl") &&
		!bytes.HasPrefix(text, []byte("{")) && !record.IsShort(string(text))
}

// decodeLine reads a record of one line.
func decodeLine(text []byte) (r *record.Record, reduced bool, err error) {
	if bytes.HasPrefix(text, []byte("{")) {
		r, err = record.Decode(bytes.NewReader(text))
		return r, false, err
	}
	r, err = record.DecodeShort(string(text))
	return r, true, err
}

// readLine returns a line and its size in the file. Of one that is too long for
// a record it returns nothing but the size.
func readLine(from *bufio.Reader) (line []byte, size int64, err error) {
	for {
		piece, err := from.ReadSlice('\n')
		size += int64(len(piece))
		if size <= record.MaxSize {
			line = append(line, piece...)
		} else {
			line = nil
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return line, size, err
		}
	}
}

// take counts a record that was just read, unless a later state of its job
// counts already; an earlier one is taken out.
func (in *Intake) take(name string, r *record.Record, err error, now state) error {
	if err != nil {
		var damage *record.Error
		in.refuse(Refusal{name, reason(err), !errors.As(err, &damage)})
		return nil
	}
	in.Read++
	var id [16]byte
	if _, err := hex.Decode(id[:], []byte(r.ID)); err != nil {
		return err
	}
	now.changed, now.path = r.Changed.UnixMicro(), int32(len(in.paths)-1)
	before, known := in.latest[id]
	if known {
		in.Same++
		if before.changed > now.changed || before.changed == now.changed && now.reduced && !before.reduced {
			return nil
		}
		old, err := in.again(before)
		if err != nil || old.ID != r.ID {
			return fmt.Errorf("%s was read and cannot be read again: %w", in.paths[before.path], cmpErr(err))
		}
		if before.changed == now.changed && before.reduced == now.reduced {
			if reflect.DeepEqual(old, r) {
				return nil
			}
			in.Conflicts++
			if !after(r, old) {
				return nil
			}
		}
		in.Sum.Remove(old)
	}
	in.latest[id] = now
	in.Sum.Add(r)
	return nil
}

var errChanged = errors.New("it has changed")

func cmpErr(err error) error {
	if err == nil {
		return errChanged
	}
	return err
}

// after puts two records that claim to be the same state in an order, so that
// the order of files makes no difference.
func after(a, b *record.Record) bool {
	first, _ := record.Encode(a) // both could be read
	second, _ := record.Encode(b)
	return bytes.Compare(first, second) > 0
}

// again reads a record once more.
func (in *Intake) again(s state) (*record.Record, error) {
	file, err := open(in.paths[s.path])
	if err != nil {
		return nil, err
	}
	defer file.Close()
	if !s.line {
		return record.Decode(file)
	}
	if _, err := file.Seek(s.offset, io.SeekStart); err != nil {
		return nil, err
	}
	line, _, err := readLine(bufio.NewReader(file))
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, err
	}
	r, _, err := decodeLine(bytes.TrimSpace(bytes.TrimPrefix(line, []byte("\xef\xbb\xbf"))))
	return r, err
}

// counted tells how much was read.
type counted struct {
	io.Reader
	progress func(bytes int)
}

func (c counted) Read(p []byte) (int, error) {
	n, err := c.Reader.Read(p)
	c.progress(n)
	return n, err
}

// reason leaves out the name that stands before it already.
func reason(err error) string {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err.Error()
	}
	return err.Error()
}
