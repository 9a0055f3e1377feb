package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"benchleaf/render/handbook"
	"benchleaf/render/whole"
)

// runSchema writes the schemas by which an editor judges an author's files.
func runSchema(c *call) int {
	out := c.flags.String("out", "schemas", "`folder` for the schemas")
	if _, status, ok := c.parse(0); !ok {
		return status
	}
	if err := os.MkdirAll(*out, 0o755); err != nil {
		return c.trouble(err)
	}
	for _, s := range slices.Concat(handbook.Schemas(), handbook.BlockSchemas()) {
		text, err := json.MarshalIndent(s.Schema, "", "  ")
		file := filepath.Join(*out, s.Name)
		if err == nil {
			err = whole.Replace(file, append(text, '\n'))
		}
		if err != nil {
			return c.trouble(err)
		}
		fmt.Fprintf(c.stdout, "%s: for %s\n", file, s.Of)
	}
	return statusDone
}
