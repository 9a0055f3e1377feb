package elementary

// A quarter turn in three parts; the first two have 33 bits, so that their
// product with a whole number up to 2^20 is exact.
const (
	quarterTurn = 1.570796326794896619231321691639751442098584699687552910487472296
	quarter1    = 0x1.921fb544p0
	quarter2    = 0x1.0b4611a6p-34
	quarter3    = quarterTurn - quarter1 - quarter2
)

// Sin returns the sine of x radians, for |x| <= 1e4, otherwise NaN.
func Sin(x float64) float64 {
	if Abs(x) < 0x1p-27 {
		return x // keeps the sign of zero
	}
	return sinAfter(x, 0)
}

// Cos returns the cosine of x radians, for |x| <= 1e4, otherwise NaN.
func Cos(x float64) float64 {
	return sinAfter(x, 1)
}

// sinAfter returns the sine of x radians and the given number of quarter turns.
//
// With k the whole number nearest to x over a quarter turn, r + low is what is
// left of x, at most an eighth of a turn; its sine and cosine are their Taylor
// series up to r^17 and r^18.
func sinAfter(x float64, quarters int) float64 {
	if !(Abs(x) <= 1e4) {
		return NaN()
	}
	shifted := float64(x*(1/quarterTurn)) + wholeShift
	k := shifted - wholeShift
	quarters += bits(shifted) - bits(wholeShift) + 8000 // not negative

	a := x - float64(k*quarter1)
	b := float64(k * quarter2)
	r := a - b
	low := (a - r) - b - float64(k*quarter3)
	sum := r + low
	low = (r - sum) + low
	r = sum

	z := float64(r * r)
	var y float64
	if quarters%2 == 0 {
		p := 1.0/6227020800 - float64(z*(1.0/1307674368000-float64(z*(1.0/355687428096000))))
		p = 1.0/362880 - float64(z*(1.0/39916800-float64(z*p)))
		p = 1.0/120 - float64(z*(1.0/5040-float64(z*p)))
		p = float64(z * (1.0/6 - float64(z*p)))
		y = r - (float64(r*p) - (low - float64(low*z*0.5)))
	} else {
		p := 1.0/87178291200 - float64(z*(1.0/20922789888000-float64(z*(1.0/6402373705728000))))
		p = 1.0/3628800 - float64(z*(1.0/479001600-float64(z*p)))
		p = 1.0/720 - float64(z*(1.0/40320-float64(z*p)))
		p = float64(z * z * (1.0/24 - float64(z*p)))
		h := float64(z * 0.5)
		y = 1 - h
		y += ((1 - y) - h) + (p - float64(r*low))
	}
	if quarters%4 > 1 {
		return -y
	}
	return y
}
