package field

import "gonum.org/v1/gonum/mathext"

// Share is how often a cause is the one: its posterior mean and the interval
// that it lies in with a probability of 95 %, 2.5 % on either side.
type Share struct{ Mean, Low, High float64 }

// tail is the probability on either side of an interval.
const tail = 0.025

// Shares returns the share of each cause after so many findings. The author's
// frequencies count as so many findings before them, weight in all: the prior is
// Dirichlet with weight · frequency / sum of frequencies for each cause, so the
// posterior is Dirichlet with the counts added, and the share of one cause Beta
// (A. Gelman and others, Bayesian Data Analysis, 3rd edition, sections 2.4 and
// 3.4). It takes for granted that each finding is of one cause, and that the
// records are drawn as the faults occur.
//
// A frequency of 0 was not given and counts as the mean of those that were.
func Shares(frequencies []float64, weight float64, counts []int) []Share {
	prior := filled(frequencies)
	sum, total := 0.0, weight
	for i, f := range prior {
		sum += f
		total += float64(counts[i])
	}
	shares := make([]Share, len(counts))
	for i, n := range counts {
		a := weight*prior[i]/sum + float64(n)
		shares[i] = Share{a / total, betaQuantile(a, total-a, tail), betaQuantile(a, total-a, 1-tail)}
	}
	return shares
}

// filled gives causes without a frequency the mean of the others, 1 if there
// are none.
func filled(frequencies []float64) []float64 {
	sum, given := 0.0, 0
	for _, f := range frequencies {
		if f > 0 {
			sum += f
			given++
		}
	}
	mean := 1.0
	if given > 0 {
		mean = sum / float64(given)
	}
	list := make([]float64, len(frequencies))
	for i, f := range frequencies {
		list[i] = f
		if f <= 0 {
			list[i] = mean
		}
	}
	return list
}

// betaQuantile is the value that a share with a Beta distribution is below with
// a probability of p. Rounding can leave an only cause with b a hair beside 0.
func betaQuantile(a, b, p float64) float64 {
	if b < 1e-9 {
		return 1
	}
	return mathext.InvRegIncBeta(a, b, p)
}
