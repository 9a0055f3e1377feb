package language

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"sync"

	"github.com/sourcegraph/jsonrpc2"
)

// maxMessage bounds a message: a text of the handbook has at most 2 MB, and JSON writes some
// characters with six.
const maxMessage = 64 << 20

// frames are messages behind a head that says how long each is. What is no message is
// answered and passed over, so that one slip of a client does not end its session.
type frames struct {
	in      *bufio.Reader
	out     io.Writer
	close   func() error
	writing sync.Mutex
}

var _ jsonrpc2.ObjectStream = (*frames)(nil)

// ReadObject implements jsonrpc2.ObjectStream. An error ends the session.
func (f *frames) ReadObject(v any) error {
	for {
		body, err := f.read()
		if err != nil {
			return err
		}
		code, why := jsonrpc2.CodeInvalidRequest, json.Unmarshal(body, v)
		if why == nil {
			return nil
		}
		if !json.Valid(body) {
			code = jsonrpc2.CodeParseError
		}
		if err := f.WriteObject(map[string]any{
			"jsonrpc": "2.0", "id": nil, "error": map[string]any{"code": code, "message": why.Error()},
		}); err != nil {
			return err
		}
	}
}

// read reads one message.
func (f *frames) read() ([]byte, error) {
	length := -1
	for {
		line, err := f.in.ReadSlice('\n')
		if err != nil {
			return nil, err // the end, or a line that is no head's
		}
		head := strings.TrimSpace(string(line))
		if head == "" && length >= 0 {
			break
		}
		if name, value, ok := strings.Cut(head, ":"); ok && strings.EqualFold(name, "Content-Length") {
			if length, err = strconv.Atoi(strings.TrimSpace(value)); err != nil || length < 0 || length > maxMessage {
				return nil, fmt.Errorf("a message of %s bytes", strings.TrimSpace(value))
			}
		}
	}
	body := make([]byte, length)
	_, err := io.ReadFull(f.in, body)
	if errors.Is(err, io.ErrUnexpectedEOF) {
		err = io.EOF
	}
	return body, err
}

// WriteObject implements jsonrpc2.ObjectStream.
func (f *frames) WriteObject(v any) error {
	body, err := json.Marshal(v)
	if err != nil {
		return err
	}
	f.writing.Lock()
	defer f.writing.Unlock()
	_, err = f.out.Write(append(fmt.Appendf(nil, "Content-Length: %d\r\n\r\n", len(body)), body...))
	return err
}

// Close implements jsonrpc2.ObjectStream.
func (f *frames) Close() error { return f.close() }
