package field

import (
	"math"
	"testing"
)

// TestBetaTable holds quantiles of Beta against the upper 2.5 % points of F, as
// printed (tables of the F distribution, denominators 1, 2 and 3): where F has
// v1 and v2 degrees of freedom, v1 F / (v2 + v1 F) is Beta with v1/2 and v2/2.
// Four decimals of F leave the quantile uncertain by less than 1e-6.
func TestBetaTable(t *testing.T) {
	for v2, row := range map[float64][]float64{
		1: {647.7890, 799.5000, 864.1630, 899.5833, 921.8479, 937.1111, 948.2169, 956.6562, 963.2846, 968.6274},
		2: {38.5063, 39.0000, 39.1655, 39.2484, 39.2982, 39.3315, 39.3552, 39.3730, 39.3869, 39.3980},
		3: {17.4434, 16.0441, 15.4392, 15.1010, 14.8848, 14.7347, 14.6244, 14.5399, 14.4731, 14.4189},
	} {
		for i, f := range row {
			v1 := float64(i + 1)
			want := v1 * f / (v2 + v1*f)
			if have := betaQuantile(v1/2, v2/2, 1-tail); math.Abs(have-want) > 1e-6 {
				t.Errorf("upper, %v and %v: have %v, want %v", v1, v2, have, want)
			}
			// The mirror image has the lower quantile.
			if have := betaQuantile(v2/2, v1/2, tail); math.Abs(have-(1-want)) > 1e-6 {
				t.Errorf("lower, %v and %v: have %v, want %v", v2, v1, have, 1-want)
			}
		}
	}
}

// TestBetaClosed holds the quantiles that have a closed form: the distribution
// function of Beta(a, 1) is x^a, of Beta(1, b) it is 1 - (1-x)^b.
func TestBetaClosed(t *testing.T) {
	for _, a := range []float64{0.01, 0.05, 0.3, 1, 2.5, 20, 1e3, 1e5} {
		for _, p := range []float64{tail, 1 - tail} {
			if have, want := betaQuantile(a, 1, p), math.Pow(p, 1/a); math.Abs(have-want) > 1e-9*want+1e-15 {
				t.Errorf("Beta(%v, 1), %v: have %v, want %v", a, p, have, want)
			}
			if have, want := betaQuantile(1, a, p), -math.Expm1(math.Log1p(-p)/a); math.Abs(have-want) > 1e-9*want+1e-15 {
				t.Errorf("Beta(1, %v), %v: have %v, want %v", a, p, have, want)
			}
		}
	}
}

// TestBetaBinomial holds quantiles for whole numbers against the binomial
// distribution: what Beta(a, b) has below x is the probability of at least a
// successes in a+b-1 trials of probability x (M. Abramowitz and I. Stegun,
// Handbook of Mathematical Functions, 26.5.24).
func TestBetaBinomial(t *testing.T) {
	for _, ab := range [][2]int{{1, 1}, {2, 2}, {1, 19}, {3, 117}, {25, 95}, {400, 600}, {17, 4983}, {24000, 76000}, {3, 99997}} {
		for _, p := range []float64{tail, 1 - tail} {
			x := betaQuantile(float64(ab[0]), float64(ab[1]), p)
			if have := atLeast(ab[0], ab[0]+ab[1]-1, x); math.Abs(have-p) > 1e-8 {
				t.Errorf("Beta%v: at %v the probability is %v, want %v", ab, x, have, p)
			}
		}
	}
}

// atLeast is the probability of at least k successes in n trials.
func atLeast(k, n int, p float64) float64 {
	sum := 0.0
	logGamma := func(v int) float64 { g, _ := math.Lgamma(float64(v)); return g }
	for j := k; j <= n; j++ {
		sum += math.Exp(logGamma(n+1) - logGamma(j+1) - logGamma(n-j+1) + float64(j)*math.Log(p) + float64(n-j)*math.Log1p(-p))
	}
	return sum
}

// TestShares works a posterior by hand. Frequencies 24, 14 and one that was not
// given, which counts as their mean 19: 57 in all. With a weight of 20 and
// counts 6, 0, 4 the sum is 30, and the first mean (20 · 24/57 + 6) / 30.
func TestShares(t *testing.T) {
	have := Shares([]float64{24, 14, 0}, 20, []int{6, 0, 4})
	for i, want := range []float64{(20*24.0/57 + 6) / 30, 20 * 14.0 / 57 / 30, (20*19.0/57 + 4) / 30} {
		if math.Abs(have[i].Mean-want) > 1e-12 || !(have[i].Low < want && want < have[i].High) {
			t.Errorf("%d: have %+v, want a mean of %v", i, have[i], want)
		}
	}
	// No frequency at all: all are alike. 3 causes, weight 3, so each counts 1:
	// the share of one without a finding among 10 is Beta(1, 12).
	have = Shares([]float64{0, 0, 0}, 3, []int{10, 0, 0})
	if want := 1 - math.Pow(1-0.975, 1.0/12); math.Abs(have[1].High-want) > 1e-12 || math.Abs(have[0].Mean-11.0/13) > 1e-12 {
		t.Errorf("%+v", have)
	}
	if have := Shares([]float64{5}, 20, []int{3}); have[0] != (Share{1, 1, 1}) {
		t.Errorf("an only cause: %+v", have)
	}
	// A share whose prior is next to nothing has an interval next to 0, not a
	// number that is none.
	if have := Shares([]float64{1e-3, 1e3}, 1, []int{0, 1000}); !(have[0].Low >= 0 && have[0].Low <= have[0].High && have[0].High < 1e-6) {
		t.Errorf("%+v", have)
	}
}
