package elementary

import _ "embed" // the compiler reads this package's source

var (
	//go:embed arctangent.go
	arctangent []byte
	//go:embed exponential.go
	exponential []byte
	//go:embed logarithm.go
	logarithm []byte
	//go:embed power.go
	power []byte
	//go:embed multiplication.go
	multiplication []byte
	//go:embed trigonometric.go
	trigonometric []byte
)

// Files returns the source of this package that is in the subset: all but
// instructions.go and this file. The caller must not change it.
func Files() map[string][]byte {
	return map[string][]byte{
		"arctangent.go":     arctangent,
		"exponential.go":    exponential,
		"logarithm.go":      logarithm,
		"power.go":          power,
		"multiplication.go": multiplication,
		"trigonometric.go":  trigonometric,
	}
}
