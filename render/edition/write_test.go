package edition

// Write adds a file.
func (w *Writer) Write(name string, data []byte) error { return w.add(name, data, false) }

// WriteShell adds a file that a phone takes before all others: what every page
// needs, and the pages from which all others are found.
func (w *Writer) WriteShell(name string, data []byte) error { return w.add(name, data, true) }

func (w *Writer) add(name string, data []byte, shell bool) error {
	return w.Add(File{Name: name, Digest: Digest(data), Size: len(data), Shell: shell, Load: loaded(data)})
}
