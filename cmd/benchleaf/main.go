// Command benchleaf compiles a folder of Markdown into an offline handbook.
package main

import (
	"os"
)

func main() {
	os.Exit(Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
