package unit

// System is one of the two sets of units that a reader chooses between.
type System string

// The systems.
const (
	Metric System = "metric"
	Inch   System = "inch"
)
