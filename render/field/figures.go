package field

import (
	"math"
	"strconv"
	"strings"
)

func figures(values ...int) []string {
	list := make([]string, len(values))
	for i, v := range values {
		list[i] = strconv.Itoa(v)
	}
	return list
}

// separated writes the thousands of a number apart, as English does: 12,345.6. What is no
// plain number is left as it is.
func separated(number string) string {
	sign := ""
	if strings.HasPrefix(number, "-") {
		sign, number = "-", number[1:]
	}
	whole, _, _ := strings.Cut(number, ".")
	if strings.Trim(whole, "0123456789") != "" {
		return sign + number
	}
	rest := number[len(whole):]
	for at := len(whole) - 3; at > 0; at -= 3 {
		whole = whole[:at] + "," + whole[at:]
	}
	return sign + whole + rest
}

func grouped(n int) string { return separated(strconv.Itoa(n)) }

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
