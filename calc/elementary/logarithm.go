package elementary

// 2/3, 2/5 and lg e in two parts each, the first rounded to 53 bits.
const (
	twoThirdsHigh = 0x1.5555555555555p-1
	twoThirdsLow  = 2.0/3 - twoThirdsHigh
	twoFifthsHigh = 0x1.999999999999ap-2
	twoFifthsLow  = 2.0/5 - twoFifthsHigh
	lgE           = 0.4342944819032518276511289189166050822943970058036665661144537832
	lgEHigh       = 0x1.bcb7b1526e50ep-2
	lgELow        = lgE - lgEHigh
)

// tail is 2/23 + 2/25 z + 2/27 z^2 ... for the greatest z, the fourth power of
// √2 - 1, to 24 bits. For a lesser z it is off by at most 2/25 of the difference,
// which z^10 before it makes negligible.
const tail = 0x1.6e171ap-4

const greatest = 0x1.fffffffffffffp1023

// Log returns the natural logarithm of x: NaN for x < 0, -Inf for 0.
func Log(x float64) float64 {
	if !(x >= 0) {
		return NaN()
	}
	high, low := logSum(x)
	return high + low
}

// Log10 returns the decimal logarithm of x: NaN for x < 0, -Inf for 0.
func Log10(x float64) float64 {
	if !(x >= 0) {
		return NaN()
	}
	high, low := logSum(x)
	if x == 0 || x > greatest {
		return high
	}
	high, low = productOfSums(high, low, lgEHigh, lgELow)
	return high + low
}

// logSum returns the natural logarithm of x >= 0 as a sum of two numbers that
// holds about 70 bits, which Pow needs: 2^11 times its error goes into a result.
//
// With x = 2^k m, m between the roots of 1/2 and 2, f = m - 1 and s = f/(2 + f),
// it is k ln 2 + 2 s + s z (2/3 + 2/5 z + 2/7 z^2 ...), where z = s^2 <= 0.0295
// (the series of the inverse hyperbolic tangent). The terms up to 2/5 are carried
// in two parts, the rest of the series needs one.
func logSum(x float64) (high, low float64) {
	if x == 0 {
		return Inf(-1), 0
	}
	if x > greatest {
		return x, 0
	}
	k := -1023
	if x < 0x1p-1022 {
		x *= 0x1p54
		k -= 54
	}
	const one, rootOfHalf = 0x3ff0000000000000, 0x3fe6a09e667f3bcd // as bits
	exponent := (bits(x) + (one - rootOfHalf)) / (1 << 52)
	k += exponent
	f := fromBits(bits(x)-(exponent-1023)*(1<<52)) - 1

	d := 2 + f
	dLow := f - (d - 2)
	s := f / d
	p, pLow := product(s, d)
	sLow := (((f - p) - pLow) - float64(s*dLow)) / d
	z, zLow := productOfSums(s, sLow, s, sLow)

	q := 2.0/21 + float64(z*tail)
	q = 2.0/17 + float64(z*(2.0/19+float64(z*q)))
	q = 2.0/13 + float64(z*(2.0/15+float64(z*q)))
	q = 2.0/9 + float64(z*(2.0/11+float64(z*q)))
	q = float64(z * (2.0/7 + float64(z*q)))
	e := twoFifthsHigh + q
	eLow := (twoFifthsHigh - e) + q + twoFifthsLow
	w, wLow := productOfSums(z, zLow, e, eLow)
	c := twoThirdsHigh + w
	cLow := (twoThirdsHigh - c) + w + (wLow + twoThirdsLow)

	u, uLow := productOfSums(z, zLow, c, cLow)
	v, vLow := productOfSums(s, sLow, u, uLow)

	h := 2*s + v
	hLow := (2*s - h) + v + (2*sLow + vLow)
	whole := float64(float64(k) * ln2High)
	high = whole + h
	return high, ((whole - high) + h) + (hLow + float64(float64(k)*ln2Low))
}
