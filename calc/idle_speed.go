package calc

import "benchleaf/calc/elementary"

// Pulses is the number of ignition pulses that a tachometer counts in one
// revolution.
type Pulses int

const (
	HalfPulse Pulses = iota // camshaft-triggered: one in two revolutions
	OnePulse                // flywheel magneto
	TwoPulses               // two leads, or two coils on one kill wire
)

// NoLoadSpeed is which of the three no-load speeds a specification means; they
// are set at different places and are not to be compared.
type NoLoadSpeed int

const (
	ThrottleStop NoLoadSpeed = iota // throttle held on its stop screw
	GovernedIdle                    // governor in command, control at slow
	TopNoLoad                       // governor in command, control at fast
)

// Mismatch is what a reading far from nominal may come from.
type Mismatch int

const (
	NoMismatch Mismatch = iota
	ReadsHalf
	ReadsDouble
)

// IdleSpeedInputs is a reading of engine speed and what it should be. Measured
// counts before Frequency; one of them may be missing (NaN).
type IdleSpeedInputs struct {
	Measured      float64     `name:"measured" symbol:"N" unit:"rpm" min:"0" max:"20000" start:"1820" optional:"true" metered:"true"`
	Frequency     float64     `name:"frequency" symbol:"f" unit:"Hz" min:"0" max:"1000" optional:"true" metered:"true"`
	Pulses        Pulses      `name:"pulses" symbol:"z" options:"0.5,1,2" start:"1"`
	Specification NoLoadSpeed `name:"specification" options:"throttle-stop,governed-idle,top-no-load" start:"governed-idle"`
	Nominal       float64     `name:"nominal" symbol:"N₀" unit:"rpm" min:"100" max:"20000" start:"1750"`
	Tolerance     float64     `name:"tolerance" symbol:"δ" unit:"rpm" min:"0" max:"5000" start:"100"`
	Accuracy      float64     `name:"accuracy" symbol:"a" unit:"rpm" min:"0" max:"1000" start:"0"`
}

// IdleSpeedResults is the speed, its verdict, the state of the engine in which
// the reading counts, and a hint at the tachometer's setting.
type IdleSpeedResults struct {
	Speed     float64     `name:"speed" symbol:"N" unit:"rpm" digits:"4"`
	Deviation float64     `name:"deviation" symbol:"Δ" unit:"rpm" digits:"4"`
	Verdict   Verdict     `name:"verdict" options:"within,outside,close,no-reading,doubtful"`
	Condition NoLoadSpeed `name:"condition" options:"throttle-stop,governed-idle,top-no-load"`
	Hint      Mismatch    `name:"hint" options:"none,half,double"`
}

// mismatchBand is how near, in proportion, a reading must be to half or twice
// the nominal speed for the tachometer's setting to be suspected: common
// practice, no source.
const mismatchBand = 0.1

// IdleSpeed judges a no-load speed against its specification. The speed is the
// one measured or, where only a frequency was read, that of the ignition
// pulses. Idle on the throttle stop, governed idle and top no-load speed are
// three specifications; the reading counts only in the state of the one meant.
//
// The tachometer's accuracy is a bound: within and outside are said only where
// it leaves no doubt, and between them the reading is too close to call. A
// reading that is not within and lies within 10 % of half or of twice the
// nominal speed points to a tachometer set for another ignition: it is doubtful,
// and condemns nothing.
//
// Formula: N = f / z
// Formula: Δ = N − N₀
// Formula: within: |Δ| ≤ δ − 0.95 · a; outside: |Δ| > δ + 0.95 · a; else close
// Formula: doubtful: not within, and N = N₀ / 2 or N = 2 · N₀ to within 10 %
// Source: Definition of speed of rotation, one revolution gives z pulses
// Source: ISO 14253-1:2017, decision rule; JCGM 100:2008, u = a / √3; 0.95 a = 1.65 u
// Source: Nearness of 10 % to half or twice the nominal: common practice, no source
// Example: measured = 1820 rpm, nominal = 1750 rpm, tolerance = 100 rpm, accuracy = 10 rpm gives speed = 1820 rpm, deviation = 70.0 rpm, verdict = within, hint = none
// Example: measured = 3500 rpm, nominal = 1750 rpm, tolerance = 100 rpm gives deviation = 1750 rpm, verdict = doubtful, hint = double
func IdleSpeed(in IdleSpeedInputs) IdleSpeedResults {
	speed := in.Measured
	if elementary.IsNaN(speed) {
		speed = in.Frequency
		switch in.Pulses {
		case HalfPulse:
			speed *= 2
		case TwoPulses:
			speed /= 2
		}
	}
	deviation := speed - in.Nominal
	verdict := judge(deviation, in.Tolerance, in.Accuracy, float64(1e-9*in.Nominal))
	hint := NoMismatch
	if verdict != Within {
		ratio := speed / in.Nominal
		if elementary.Abs(ratio-0.5) <= 0.5*mismatchBand {
			hint = ReadsHalf
		} else if elementary.Abs(ratio-2) <= 2*mismatchBand {
			hint = ReadsDouble
		}
	}
	if hint != NoMismatch {
		verdict = Doubtful
	}
	return IdleSpeedResults{
		Speed:     speed,
		Deviation: deviation,
		Verdict:   verdict,
		Condition: in.Specification,
		Hint:      hint,
	}
}
