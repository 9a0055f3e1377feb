package main

import (
	"fmt"
	"runtime"
	"runtime/debug"
)

// runVersion prints the module's version and, of a build from a checkout, the
// commit it was made from.
func runVersion(c *call) int {
	if _, status, ok := c.parse(0); !ok {
		return status
	}
	version, commit := release()
	if commit != "" {
		version += " " + commit
	}
	fmt.Fprintf(c.stdout, "benchleaf %s %s %s/%s\n", version, runtime.Version(), runtime.GOOS, runtime.GOARCH)
	return statusDone
}

// release is the module's version and, of a build from a checkout, the commit's name.
func release() (version, commit string) {
	version = "(devel)"
	if info, ok := debug.ReadBuildInfo(); ok {
		version = info.Main.Version
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" {
				commit = s.Value[:min(12, len(s.Value))]
			}
		}
	}
	return version, commit
}
