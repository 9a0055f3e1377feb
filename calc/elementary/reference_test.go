package elementary

import (
	"math"
	"math/big"
)

// The reference works in 240-bit floating point with series that are not those
// of the functions under test where there is a choice: the exponential by
// repeated squaring, the logarithm by Newton's method on it, the arctangent by
// halving the angle, the sine and cosine after a reduction with π by Machin's
// formula.
const precision = 240

func number(x float64) *big.Float { return new(big.Float).SetPrec(precision).SetFloat64(x) }

func add(x, y *big.Float) *big.Float { return new(big.Float).SetPrec(precision).Add(x, y) }
func sub(x, y *big.Float) *big.Float { return new(big.Float).SetPrec(precision).Sub(x, y) }
func mul(x, y *big.Float) *big.Float { return new(big.Float).SetPrec(precision).Mul(x, y) }
func quo(x, y *big.Float) *big.Float { return new(big.Float).SetPrec(precision).Quo(x, y) }

// negligible reports whether a term is below the precision of a sum near 1.
func negligible(term *big.Float) bool {
	return term.Sign() == 0 || term.MantExp(nil) < -precision
}

// referenceExp returns e^x for |x| < 2^20.
func referenceExp(x *big.Float) *big.Float {
	const squarings = 32
	r := new(big.Float).SetPrec(precision+64).SetMantExp(x, -squarings)
	sum, term := new(big.Float).SetPrec(precision+64).SetInt64(1), new(big.Float).SetPrec(precision+64).SetInt64(1)
	for n := 1; ; n++ {
		term.Mul(term, r).Quo(term, new(big.Float).SetInt64(int64(n)))
		if term.Sign() == 0 || term.MantExp(nil) < -precision-64 {
			break
		}
		sum.Add(sum, term)
	}
	for range squarings {
		sum.Mul(sum, sum)
	}
	return new(big.Float).SetPrec(precision).Set(sum)
}

// referenceLog returns the natural logarithm of x > 0: each step of
// y += 2 (x - e^y)/(x + e^y) triples the correct digits.
func referenceLog(x *big.Float) *big.Float {
	mantissa := new(big.Float).SetPrec(precision)
	exponent := x.MantExp(mantissa)
	start, _ := mantissa.Float64()
	y := number(math.Log(start))
	for range 4 {
		e := referenceExp(y)
		y = add(y, mul(number(2), quo(sub(mantissa, e), add(mantissa, e))))
	}
	return add(y, mul(number(float64(exponent)), ln2Reference))
}

var ln2Reference = func() *big.Float { // as the sum of 1/(k 2^k)
	sum := number(0)
	for k := 1; k < precision+10; k++ {
		sum.Add(sum, quo(new(big.Float).SetMantExp(number(1), -k), number(float64(k))))
	}
	return sum
}()

// inverseTangent returns the arctangent of 1/n by its series.
func inverseTangent(n float64) *big.Float {
	sum, power := number(0), quo(number(1), number(n))
	square := mul(number(n), number(n))
	for k := 1.0; !negligible(power); k += 2 {
		sum.Add(sum, quo(power, number(k)))
		power = quo(power, square)
		power.Neg(power)
	}
	return sum
}

// piReference is 16 atan(1/5) - 4 atan(1/239) (Machin 1706).
var piReference = sub(mul(number(16), inverseTangent(5)), mul(number(4), inverseTangent(239)))

// referenceSin returns the sine of x.
func referenceSin(x *big.Float) *big.Float {
	turn := mul(number(2), piReference)
	turns, _ := quo(x, turn).Float64()
	r := sub(x, mul(number(math.Round(turns)), turn))
	sum, term := number(0), r
	square := mul(r, r)
	for n := 1.0; term.Sign() != 0 && term.MantExp(nil) > r.MantExp(nil)-precision; n += 2 {
		sum.Add(sum, term)
		term = quo(mul(term, square), number(-(n+1)*(n+2)))
	}
	return sum
}

// referenceCos returns the cosine of x as the sine of a quarter turn more.
func referenceCos(x *big.Float) *big.Float {
	return referenceSin(add(x, quo(piReference, number(2))))
}

// referenceAtan returns the arctangent of x.
func referenceAtan(x *big.Float) *big.Float {
	const halvings = 12
	for range halvings { // atan x = 2 atan(x / (1 + √(1 + x²)))
		root := new(big.Float).SetPrec(precision).Sqrt(add(number(1), mul(x, x)))
		x = quo(x, add(number(1), root))
	}
	sum, power, square := number(0), x, mul(x, x)
	for k := 1.0; power.Sign() != 0 && power.MantExp(nil) > x.MantExp(nil)-precision; k += 2 {
		sum.Add(sum, quo(power, number(k)))
		power = mul(power, square)
		power.Neg(power)
	}
	return new(big.Float).SetMantExp(sum, halvings)
}

// errorIn returns the error of got in units in the last place of the exact
// value; one beyond the range of float64 counts as its greatest exponent.
func errorIn(got float64, exact *big.Float) float64 {
	if exact.Sign() == 0 {
		return math.Abs(got) / math.SmallestNonzeroFloat64
	}
	if rounded, _ := exact.Float64(); rounded == got || math.IsInf(got, 0) || math.IsNaN(got) {
		if rounded != got {
			return math.Inf(1)
		} else if math.IsInf(got, 0) {
			return 0
		}
	}
	unit := new(big.Float).SetMantExp(number(1), max(exact.MantExp(nil)-53, -1074))
	e, _ := quo(sub(number(got), exact), unit).Float64()
	return math.Abs(e)
}
