package field

import (
	"math"
	"strconv"
)

func figures(values ...int) []string {
	list := make([]string, len(values))
	for i, v := range values {
		list[i] = strconv.Itoa(v)
	}
	return list
}

func orBlank(v float64) string {
	if v == 0 {
		return ""
	}
	return trimmed(v)
}

// trimmed is a number with no more digits than it has, twelve at most.
func trimmed(v float64) string {
	if math.IsInf(v, 0) {
		return ""
	}
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func percent(share float64) string { return strconv.FormatFloat(100*share, 'f', 1, 64) }

func minutes(seconds float64) string { return strconv.FormatFloat(seconds/60, 'f', 1, 64) }
