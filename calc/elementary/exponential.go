package elementary

// ln 2 in two parts. The first has 33 bits, so that its product with a whole
// number up to 2^20 is exact.
const (
	ln2     = 0.6931471805599453094172321214581765680755001343602552541206800095
	ln2High = 0x1.62e42feep-1
	ln2Low  = ln2 - ln2High
)

// wholeShift added to a number below 2^51 leaves the nearest whole number in the
// low bits of the sum.
const wholeShift = 0x1.8p52

// Exp returns e to the power x.
func Exp(x float64) float64 {
	return expSum(x, 0)
}

// expSum returns e to the power x + low, where low is below the last place of x.
//
// With k the whole number nearest to x/ln 2 and r = x - k ln 2 the result is
// 2^k e^r, and e^r its Taylor series up to r^13 (next term 5e-18 at |r| = 0.35).
func expSum(x, low float64) float64 {
	if x > 710 {
		return Inf(1)
	}
	if x < -746 {
		return 0
	}
	shifted := float64(x*(1/ln2)) + wholeShift
	k := shifted - wholeShift
	r := x - float64(k*ln2High)
	low -= float64(k * ln2Low)
	s := r + low
	low = (r - s) + low
	p := 1.0/39916800 + float64(s*(1.0/479001600+float64(s*(1.0/6227020800))))
	p = 1.0/362880 + float64(s*(1.0/3628800+float64(s*p)))
	p = 1.0/5040 + float64(s*(1.0/40320+float64(s*p)))
	p = 1.0/120 + float64(s*(1.0/720+float64(s*p)))
	p = 1.0/6 + float64(s*(1.0/24+float64(s*p)))
	p = 1.0/2 + float64(s*p)
	// 1 + s is rounded; the rest brings what the rounding lost.
	sum := 1 + s
	rest := ((1 - sum) + s) + (float64(s*s*p) + (low + float64(low*s)))
	// In two steps, so that a result below the normal range is rounded once.
	n := bits(shifted) - bits(wholeShift)
	half := n / 2
	return scale(scale(sum+rest, half), n-half)
}
