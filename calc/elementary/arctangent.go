package elementary

// The arctangents of 1/2, 1, 3/2 and infinity, each in two parts, the first
// rounded to 53 bits.
const (
	atanHalf         = 0.4636476090008061162142562314612144020285370542861202638109330887
	atanHalfHigh     = 0x1.dac670561bb4fp-2
	atanThreeHalves  = 0.9827937232473290679857106110146660144968774536316285567614250883
	atanThreeHalves1 = 0x1.f730bd281f69bp-1
	quarterTurnHigh  = 0x1.921fb54442d18p0
)

// Atan returns the arctangent of x in radians, from -π/2 to π/2.
//
// The nearest of five points of known arctangent leaves |t| <= 7/16, for which
// the series t - t^3/3 + t^5/5 ... is summed up to t^45 / 45.
func Atan(x float64) float64 {
	a := Abs(x)
	var t, base, baseLow float64
	switch {
	case a < 7.0/16:
		t = a
	case a < 11.0/16:
		t = (2*a - 1) / (2 + a)
		base, baseLow = atanHalfHigh, atanHalf-atanHalfHigh
	case a < 19.0/16:
		t = (a - 1) / (a + 1)
		base, baseLow = quarterTurnHigh/2, (quarterTurn-quarterTurnHigh)/2
	case a < 39.0/16:
		t = (a - 1.5) / (1 + float64(1.5*a))
		base, baseLow = atanThreeHalves1, atanThreeHalves-atanThreeHalves1
	default:
		t = -1 / a
		base, baseLow = quarterTurnHigh, quarterTurn-quarterTurnHigh
	}
	z := float64(t * t)
	p := 0.0
	for n := 45; n > 1; n -= 2 {
		p = float64(z * (1/float64(n) - p))
	}
	return Copysign(base-((float64(t*p)-baseLow)-t), x)
}
