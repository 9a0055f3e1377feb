// Package record is the form in which a phone saves a job: its Go types, a
// reader that refuses what is damaged or foreign, and the short text form.
//
// In: bytes of a file, or a line of text. Out: a *Record, or an *Error with a
// reason and a place. docs/record.md is the form in words.
// It imports nothing of the project.
package record

import "time"

// Version is the version of the form that this package reads and writes.
const Version = 1

// MaxSize is the size in bytes that a saved record may have.
const MaxSize = 1_000_000

// Record is a job. A key with omitempty or omitzero may be left out; every
// other one is needed.
type Record struct {
	Record    int        `json:"record" jsonschema:"enum=1"`
	ID        string     `json:"id" jsonschema:"pattern=^[0-9a-f]{32}$"`
	Handbook  Handbook   `json:"handbook"`
	Machine   Machine    `json:"machine"`
	Ambient   *Ambient   `json:"ambient,omitempty"`
	Complaint string     `json:"complaint,omitempty" jsonschema_description:"the customer's words"`
	Meter     string     `json:"meter,omitempty" jsonschema_description:"the meter and its calibration"`
	Note      string     `json:"note,omitempty"`
	Begun     time.Time  `json:"begun"`
	Changed   time.Time  `json:"changed"`
	Closed    time.Time  `json:"closed,omitzero"`
	Entries   []Entry    `json:"entries" jsonschema_description:"the answered steps in the order of the way"`
	RuledOut  []RuledOut `json:"ruledOut"`
	Findings  []Finding  `json:"findings"`
	Left      []string   `json:"left" jsonschema_description:"settings that still stand"`
	Open      []Open     `json:"open,omitzero" jsonschema_description:"readings that were typed and not answered yet"`
}

// Handbook is what led the job.
type Handbook struct {
	Title    string `json:"title"`
	Edition  string `json:"edition"`
	Date     string `json:"date,omitempty"`
	Language string `json:"language"`
}

// Machine is what the job was done on.
type Machine struct {
	Model  string   `json:"model,omitempty" jsonschema_description:"its id in the handbook"`
	Serial string   `json:"serial,omitempty"`
	Hours  *float64 `json:"hours,omitempty"`
	Fitted string   `json:"fitted,omitempty" jsonschema_description:"what is not as delivered"`
	Drives string   `json:"drives,omitempty" jsonschema_description:"what it drives"`
}

// Ambient is the temperature around the machine.
type Ambient struct {
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
}

// Entry is a step and its answer.
type Entry struct {
	Page         string    `json:"page" jsonschema:"minLength=1"`
	Step         string    `json:"step" jsonschema:"minLength=1"`
	Number       int       `json:"number" jsonschema:"minimum=1"`
	Title        string    `json:"title"`
	State        string    `json:"state,omitempty"`
	Shown        time.Time `json:"shown"`
	At           time.Time `json:"at" jsonschema_description:"when it was answered"`
	Said         string    `json:"said"`
	Outcome      string    `json:"outcome,omitempty" jsonschema:"enum=low,enum=within,enum=high,enum=none,enum=unstable"`
	To           string    `json:"to" jsonschema:"minLength=1"`
	Verification bool      `json:"verification,omitempty"`
	Reading      *Reading  `json:"reading,omitempty"`
	Timing       *Timing   `json:"timing,omitempty"`
}

// Reading is a measured value and what it was held against.
type Reading struct {
	Spec       string   `json:"spec" jsonschema:"minLength=1"`
	Measure    string   `json:"measure"`
	Red        string   `json:"red,omitempty"`
	Black      string   `json:"black,omitempty"`
	Conditions string   `json:"conditions,omitempty"`
	Text       string   `json:"text" jsonschema_description:"as typed"`
	Value      *float64 `json:"value,omitempty" jsonschema_description:"in unit, as min, max and doubt are"`
	Unit       string   `json:"unit"`
	Min        *float64 `json:"min,omitempty"`
	Max        *float64 `json:"max,omitempty"`
	Doubt      *float64 `json:"doubt,omitempty" jsonschema_description:"the bound of the meter's error"`
	Verdict    string   `json:"verdict" jsonschema:"enum=within,enum=low,enum=high,enum=close,enum=none,enum="`
}

// Open is a reading that was typed in a step without an answer to it: it is
// evidence, but the way does not rest on it.
type Open struct {
	Page    string    `json:"page" jsonschema:"minLength=1"`
	Step    string    `json:"step" jsonschema:"minLength=1"`
	Number  int       `json:"number" jsonschema:"minimum=1"`
	Title   string    `json:"title"`
	State   string    `json:"state,omitempty"`
	At      time.Time `json:"at" jsonschema_description:"when it was typed"`
	Reading Reading   `json:"reading"`
}

// Timing is a run of a stopwatch.
type Timing struct {
	Marks    []Mark   `json:"marks"` // the first is the start
	Expected *float64 `json:"expected,omitempty" jsonschema_description:"seconds from the first mark to the last"`
	// Tolerance tells a time that is judged by what a curve expects from one that a
	// specification judges.
	Tolerance *float64 `json:"tolerance,omitempty" jsonschema:"exclusiveMinimum=0,exclusiveMaximum=1" jsonschema_description:"share of expected between that and the limits, where they follow from it"`
	Given     []Given  `json:"given,omitzero" jsonschema_description:"what was read of the machine and its surroundings, for which expected holds"`
}

// Given is a reading that an expected time follows from.
type Given struct {
	Title string  `json:"title"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
}

// Mark is a moment of a timing.
type Mark struct {
	Name  string    `json:"name"`
	Title string    `json:"title"`
	At    time.Time `json:"at"`
}

// RuledOut is a cause that an answer ruled out.
type RuledOut struct {
	Page  string `json:"page" jsonschema:"minLength=1"`
	Cause string `json:"cause" jsonschema:"minLength=1"`
	Title string `json:"title"`
	Entry int    `json:"entry" jsonschema:"minimum=0"`
}

// The ends that a finding can have.
const (
	EndCause         = "cause"
	EndHandOver      = "hand-over"
	EndNotReproduced = "not-reproduced"
)

// Finding is an end that was reached.
type Finding struct {
	End         string    `json:"end" jsonschema:"enum=cause,enum=hand-over,enum=not-reproduced"`
	Page        string    `json:"page" jsonschema:"minLength=1"`
	Cause       string    `json:"cause,omitempty" jsonschema_description:"needed where end is cause"`
	Title       string    `json:"title,omitempty"`
	Part        string    `json:"part,omitempty"`
	PartTitle   string    `json:"partTitle,omitempty"`
	At          time.Time `json:"at"`
	CondemnedBy *int      `json:"condemnedBy,omitempty" jsonschema:"minimum=0"`
	Remedy      *Remedy   `json:"remedy,omitempty"`
	Repaired    time.Time `json:"repaired,omitzero" jsonschema_description:"when the check after the repair was passed and proved it"`
}

// Remedy is what was done about a cause.
type Remedy struct {
	Text     string    `json:"text"`
	Replaced bool      `json:"replaced" jsonschema_description:"whether a part was replaced"`
	At       time.Time `json:"at"`
}

// The outcomes of a reading, and the verdicts on it.
var (
	outcomes = []string{"low", "within", "high", "none", "unstable"}
	verdicts = []string{"within", "low", "high", "close", "none", ""}
	ends     = []string{EndCause, EndHandOver, EndNotReproduced}
)
