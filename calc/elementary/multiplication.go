package elementary

// product returns x*y as a sum of two numbers, the second the rounding error of
// the first: exact while nothing overflows or underflows, |x| and |y| < 2^995.
//
// Source: T. J. Dekker, A floating-point technique for extending the available
// precision, Numer. Math. 18 (1971) 224-242.
func product(x, y float64) (high, low float64) {
	const splitter = 0x1p27 + 1 // cuts 53 bits into 26 and 26 and a sign
	t := float64(splitter * x)
	xHigh := t - (t - x)
	xLow := x - xHigh
	t = float64(splitter * y)
	yHigh := t - (t - y)
	yLow := y - yHigh
	high = float64(x * y)
	low = ((float64(xHigh*yHigh) - high) + float64(xHigh*yLow) + float64(xLow*yHigh)) + float64(xLow*yLow)
	return high, low
}

// productOfSums returns (x + xLow) (y + yLow) as such a sum, where each second
// number is below the last place of the first.
func productOfSums(x, xLow, y, yLow float64) (high, low float64) {
	high, low = product(x, y)
	return high, low + (float64(x*yLow) + float64(xLow*y))
}
