package unit

import "math"

const gaugeSymbol = "AWG"

// Size is one size of wire by the American wire gauge.
type Size struct {
	Name string  // "4/0" ... "1/0", "1" ... "40"
	Area float64 // of the round solid conductor, m²
}

// sizes holds 4/0 to 40, thickest first. ASTM B258 fixes 4/0 at 0.4600 in and
// 36 at 0.0050 in with 39 equal ratios between, so the diameter of size n is
// 0.127 mm * 92^((36-n)/39). A table instead of the power: the same bits
// everywhere, and a reader's phone needs no pow for it.
var sizes = [...]Size{
	{"4/0", 0.00010721930257703052},
	{"3/0", 8.502877257427766e-05},
	{"2/0", 6.74308822359108e-05},
	{"1/0", 5.347512073211764e-05},
	{"1", 4.240769870561865e-05},
	{"2", 3.363083401934961e-05},
	{"3", 2.6670463886482738e-05},
	{"4", 2.1150639425442834e-05},
	{"5", 1.6773219618869277e-05},
	{"6", 1.3301767890969127e-05},
	{"7", 1.0548781512773456e-05},
	{"8", 8.365564060081021e-06},
	{"9", 6.634193907474305e-06},
	{"10", 5.261154954510375e-06},
	{"11", 4.172285561955633e-06},
	{"12", 3.308772876111475e-06},
	{"13", 2.623976183585926e-06},
	{"14", 2.0809077170983776e-06},
	{"15", 1.6502348436569882e-06},
	{"16", 1.308695727755263e-06},
	{"17", 1.037842895166059e-06},
	{"18", 8.230468337313143e-07},
	{"19", 6.527058128646283e-07},
	{"20", 5.176192419280385e-07},
	{"21", 4.1049072083218296e-07},
	{"22", 3.2553394124546685e-07},
	{"23", 2.5816015204429125e-07},
	{"24", 2.047303081471221e-07},
	{"25", 1.6235851560400582e-07},
	{"26", 1.2875615646606326e-07},
	{"27", 1.0210827418715534e-07},
	{"28", 8.097554279066522e-08},
	{"29", 6.421652488440251e-08},
	{"30", 5.092601946355177e-08},
	{"31", 4.038616949563362e-08},
	{"32", 3.202768847263627e-08},
	{"33", 2.5399111668937567e-08},
	{"34", 2.0142411280237474e-08},
	{"35", 1.5973658349572064e-08},
	{"36", 1.2667686977437444e-08},
	{"37", 1.0045932487509175e-08},
	{"38", 7.966786653581145e-09},
	{"39", 6.3179490468002886e-09},
	{"40", 5.0103613782630725e-09},
}

// thickest is the gauge number of the first size: 4/0 counts as -3, so that
// 1/0 is 0 and every later size is its own number.
const thickest = -3

// Sizes returns the wire gauge, thickest first. The slice is the caller's.
func Sizes() []Size { return append([]Size(nil), sizes[:]...) }

// SizeName returns the name of a gauge number, "4/0" for -3 and "16" for 16,
// and "" when there is no such size.
func SizeName(number float64) string {
	if i, ok := sizeIndex(number); ok {
		return sizes[i].Name
	}
	return ""
}

func sizeIndex(number float64) (int, bool) {
	if number != math.Trunc(number) || number < thickest || number >= thickest+float64(len(sizes)) {
		return 0, false
	}
	return int(number) - thickest, true
}

func gaugeArea(number float64) float64 {
	if i, ok := sizeIndex(number); ok {
		return sizes[i].Area
	}
	return math.NaN()
}

// gaugeNumber takes the size whose area is nearest in proportion: the borders
// are the geometric means of neighbours, compared as squares so that no root
// is needed. An area more than half a step beyond either end has no size.
func gaugeNumber(area float64) float64 {
	const step = 1.1229322 // ratio of neighbouring diameters, 92^(1/39)
	last := len(sizes) - 1
	if !(area <= sizes[0].Area*step && area >= sizes[last].Area/step) {
		return math.NaN()
	}
	for i := range last {
		if area*area >= sizes[i].Area*sizes[i+1].Area {
			return float64(i + thickest)
		}
	}
	return float64(last + thickest)
}

// parseSize reads the name of a size: "4/0", "0000", "1/0", "0", "16".
func parseSize(name string) (number float64, ok bool) {
	switch name {
	case "0", "00", "000", "0000":
		return float64(1 - len(name)), true
	}
	for i, s := range sizes {
		if s.Name == name {
			return float64(i + thickest), true
		}
	}
	return 0, false
}
