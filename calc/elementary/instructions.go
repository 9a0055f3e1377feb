package elementary

import "math"

// The compiler replaces every function of this file by instructions; the bodies
// here are their native form. A function added here must be added there.

// Sqrt returns the square root of x; NaN for x < 0.
func Sqrt(x float64) float64 { return math.Sqrt(x) }

// Floor returns the greatest whole number not above x.
func Floor(x float64) float64 { return math.Floor(x) }

// Ceil returns the least whole number not below x.
func Ceil(x float64) float64 { return math.Ceil(x) }

// Trunc returns x without its fraction.
func Trunc(x float64) float64 { return math.Trunc(x) }

// Abs returns the magnitude of x.
func Abs(x float64) float64 { return math.Abs(x) }

// Copysign returns the magnitude of x with the sign of sign.
func Copysign(x, sign float64) float64 { return math.Copysign(x, sign) }

// Min returns the lesser of x and y; NaN if either is NaN, and -0 is less than
// 0. (math.Min differs: Min(-Inf, NaN) is -Inf there.)
func Min(x, y float64) float64 { return min(x, y) }

// Max returns the greater of x and y; NaN if either is NaN, and 0 is greater
// than -0.
func Max(x, y float64) float64 { return max(x, y) }

// NaN returns the value that is no number.
func NaN() float64 { return math.NaN() }

// Inf returns +Inf for sign >= 0 and -Inf for sign < 0.
func Inf(sign int) float64 { return math.Inf(sign) }

// IsNaN reports whether x is no number.
func IsNaN(x float64) bool { return math.IsNaN(x) }

// bits returns the IEEE 754 representation of x.
func bits(x float64) int { return int(math.Float64bits(x)) }

// fromBits returns the number that n represents.
func fromBits(n int) float64 { return math.Float64frombits(uint64(n)) }

// scale returns x times 2 to the power k, for -1022 <= k <= 1023.
func scale(x float64, k int) float64 { return x * math.Float64frombits(uint64(k+1023)<<52) }
