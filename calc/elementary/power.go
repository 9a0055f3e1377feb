package elementary

// Pow returns x to the power y, with the special values of IEEE 754-2019, 9.2.1:
// 1 if x is 1 or y is 0 whatever the other is; NaN for x < 0 and y not whole.
func Pow(x, y float64) float64 {
	if x == 1 || y == 0 {
		return 1
	}
	whole := Trunc(y) == y
	if IsNaN(x) || IsNaN(y) || x < 0 && x >= -greatest && !whole {
		return NaN()
	}
	odd := whole && 2*Trunc(y/2) != y
	// Beyond this y the result is 0, 1 or +Inf; the bound keeps the product finite.
	y = Min(Max(y, -1e20), 1e20)
	high, low := logSum(Abs(x))
	p, rest := product(y, high)
	r := expSum(p, rest+float64(y*low))
	if odd {
		r = Copysign(r, x)
	}
	return r
}
