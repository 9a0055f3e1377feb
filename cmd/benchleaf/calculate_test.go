package main

import (
	"maps"
	"strings"
	"testing"
)

// heatPage has a calculator of its own that takes a result of a built-in and a
// specification.
const heatPage = "# Heat\n\n```calculator circuit-drop\nsource: 12.40 V\nfeed-first: 0.20 V\nground-first: 0.20 V\ncurrent: 1.20 A\n```\n\n" +
	"```calculator\nname: choke-power\ntitle: Power of the choke heater\nabout: Tells what the heater gives.\ninputs:\n" +
	"  supply: {label: Voltage at the heater, unit: V, range: 6 to 16, from: circuit-drop.load-voltage}\n" +
	"  resistance: {label: Resistance, unit: Ω, range: 1 to 100, start: spec:heater}\n" +
	"  lead: {label: Lead, unit: Ω, range: 0 to 5, start: 200 mΩ}\n" +
	"results:\n  power: {label: Power, unit: W, formula: supply * supply / (resistance + lead)}\n" +
	"source: [Joule's law]\nexamples:\n  - given: {supply: 12 V, resistance: 10 Ω, lead: 0 Ω}\n    gives: {power: 14.4 W}\n```\n"

// heat is a handbook with heatPage in two languages.
var heat = map[string]string{
	"content/handbook.yaml": "title: T\npublisher: P\nedition: \"1\"\nlanguages: [en, es]\nremarks: {translation-unrecorded: off, page-untranslated: off}\n", "content/models.yaml": "", "content/parts.yaml": "",
	"content/specs/a.yaml": "heater: {title: Heater, unit: Ω, nominal: 10, min: 9, max: 11}\n",
	"content/en/heat.md":   heatPage,
	"content/es/heat.md":   strings.ReplaceAll(heatPage, "Power of the choke heater", "Potencia del calefactor"),
}

// with is a handbook with one file in place of its own.
func with(files map[string]string, name, text string) map[string]string {
	files = maps.Clone(files)
	files[name] = text
	return files
}

const powerText = `choke-power: Power of the choke heater
The handbook's own, in en/heat.md.
Tells what the heater gives.

Inputs
  supply      Voltage at the heater  6 to 16 V   from circuit-drop.load-voltage
  resistance  Resistance             1 to 100 Ω  from spec:heater
  lead        Lead                   0 to 5 Ω    start 200 mΩ

Results
  power  Power  W

Formulas
  power = supply · supply / (resistance + lead)

Sources
  Joule's law

Worked examples
  with supply = 12 V, resistance = 10 Ω, lead = 0 Ω it gives power = 14.4 W

Try
  benchleaf calculate -in content choke-power supply="12 V" resistance="10 Ω" lead="0 Ω"
`

const powerRun = `choke-power: Power of the choke heater

Inputs
  supply      Voltage at the heater  12 V   from circuit-drop.load-voltage
  resistance  Resistance             10 Ω   from spec:heater
  lead        Lead                   2.5 Ω

Results
  power  Power  11.52 W
`

// 12 V from 12.4 less 0.2 and 0.2; 144 / 12.5 = 11.52.
const powerJSON = `{
  "calculator": "choke-power",
  "inputs": {
    "supply": {
      "value": 12,
      "unit": "V"
    },
    "resistance": {
      "value": 10,
      "unit": "Ω"
    },
    "lead": {
      "value": 2.5,
      "unit": "Ω"
    }
  },
  "results": {
    "power": {
      "value": 11.52,
      "unit": "W"
    }
  }
}
`

const powerAbout = `{
  "calculator": "choke-power",
  "title": "Power of the choke heater",
  "about": "Tells what the heater gives.",
  "inputs": {
    "supply": {
      "label": "Voltage at the heater",
      "symbol": "supply",
      "unit": "V",
      "min": 6,
      "max": 16,
      "optional": false,
      "start": 12
    },
    "resistance": {
      "label": "Resistance",
      "symbol": "resistance",
      "unit": "Ω",
      "min": 1,
      "max": 100,
      "optional": false,
      "start": 10
    },
    "lead": {
      "label": "Lead",
      "symbol": "lead",
      "unit": "Ω",
      "min": 0,
      "max": 5,
      "optional": false,
      "start": 0.2
    }
  },
  "results": {
    "power": {
      "label": "Power",
      "symbol": "power",
      "unit": "W"
    }
  },
  "formulas": [
    "power = supply · supply / (resistance + lead)"
  ],
  "sources": [
    "Joule's law"
  ],
  "examples": [
    {
      "inputs": {
        "supply": "12 V",
        "resistance": "10 Ω",
        "lead": "0 Ω"
      },
      "results": {
        "power": "14.4 W"
      }
    }
  ]
}
`

// 10 Ω and 15 Ω are 150/25 = 6 Ω; 12 V on them 2 A and 24 W.
const parallelRun = `parallel-resistance: Resistances side by side

Inputs
  first   First resistance (R₁)   10 Ω
  second  Second resistance (R₂)  15 Ω
  third   Third resistance (R₃)   empty
  fourth  Fourth resistance (R₄)  empty  start value
  supply  Supply voltage (U)      12 V   start value

Results
  resistance      Resistance of all together (R)   6.000 Ω
  current         Current of all together (I)      2.000 A
  power           Power of all together (P)        24.00 W
  first-current   Current through the first (I₁)   1.200 A
  second-current  Current through the second (I₂)  0.8000 A
  third-current   Current through the third (I₃)   – A
  fourth-current  Current through the fourth (I₄)  – A
`

const calculateUsage = `usage: benchleaf calculate [FLAGS] [NAME [INPUT=VALUE ...]]
       to run a calculator, describe it, or list them all
  -in FOLDER      folder of a handbook whose own calculators count too
  -json           print JSON, with all digits
  -lang LANGUAGE  language of numbers and labels, such as es; English if left out
`

const parallelMend = "Write a number from 0.001 to 1000000 Ω. Other units for it: mΩ, kΩ, MΩ."

const parallelInputs = "Inputs: first, second, third, fourth, supply."

func TestCalculate(t *testing.T) {
	slip := with(heat, "content/en/heat.md", strings.Replace(heatPage, "spec:heater", "spec:heatr", 1))
	const slipRemark = "en/heat.md:16:68: error: there is no specification `heatr` [reference-unknown]\n    16 |   resistance: {label: Resistance, unit: Ω, range: 1 to 100, start: spec:heatr}\n       |                                                                    ^~~~\n    Did you mean `heater`?\n1 error\n"
	elsewhere := with(heat, "content/en/other.md", "# Other\n\n[x](b.md)\n")
	const elsewhereRemark = "en/other.md:3:1: error: `b.md` leads nowhere [link-nowhere]\n     3 | [x](b.md)\n       | ^~~\n    Link to a page by its file, to a heading or step by # and its id.\n1 error\n"
	unchained := with(heat, "content/en/heat.md", strings.Replace(heatPage, "circuit-drop.load-voltage", "circuit-drop.lod-voltage", 1))
	const unchainedRemark = "en/heat.md:15:86: error: there is no result of circuit-drop `lod-voltage` [reference-unknown]\n    15 | …: {label: Voltage at the heater, unit: V, range: 6 to 16, from: circuit-drop.lod-voltage}\n       |                                                                               ^~~~~~~~~~~\n    Did you mean `load-voltage`?\n1 error\n"
	// 144 / 10.2 = 14.12
	bare := with(heat, "content/en/heat.md", strings.NewReplacer("given: {supply: 12 V, resistance: 10 Ω, lead: 0 Ω}\n    ", "", "14.4 W", "14.1 W").Replace(heatPage))
	models := with(heat, "content/models.yaml", "gx-1: {title: GX 1}\ngx-2: {title: GX 2}\n")
	models["content/specs/a.yaml"] = "heater: {title: Heater, unit: mΩ, models: {gx-1: {nominal: 10000}, gx-2: {nominal: 8000}}}\n"
	outside := with(heat, "content/en/heat.md", strings.Replace(heatPage, "range: 6 to 16", "range: 14 to 16", 1))
	outside["content/en/heat.md"] = strings.Replace(outside["content/en/heat.md"], "{supply: 12 V, resistance: 10 Ω, lead: 0 Ω}", "{supply: 15 V, resistance: 10 Ω, lead: 5 Ω}", 1)
	outside["content/en/heat.md"] = strings.Replace(outside["content/en/heat.md"], "14.4 W", "15 W", 1)
	const outsideRemark = "en/heat.md:15:74: error: `circuit-drop.load-voltage` is no value of `supply`: it gives 12.00 V here; the range is 14 to 16 V [quantity-wrong]\n    15 | …{label: Voltage at the heater, unit: V, range: 14 to 16, from: circuit-drop.load-voltage}\n       |                                                                 ^~~~~~~~~~~~~~~~~~~~~~~~~\n    Widen the range, or let the other calculator start with values that keep it.\n1 error\n"

	for _, c := range []struct {
		name           string
		files          map[string]string
		args           string // parted by |
		status         int
		stdout, stderr string
	}{
		{"help", nil, "-h", 0, calculateUsage, ""},
		{"an unknown flag", nil, "-fast", 2, "", "benchleaf calculate: there is no flag -fast\n" + calculateUsage},
		{"no language", nil, "-lang|english", 2, "", "benchleaf calculate: \"english\": this is no language; write it like es or es-MX\n"},
		{"no handbook", nil, "-in|content", 2, "", "benchleaf calculate: content: there is no such folder; name the handbook's, or begin one: benchleaf begin handbook\n"},
		{"a file for a handbook", heat, "-in|content/handbook.yaml", 2, "", "benchleaf calculate: content/handbook.yaml: there is no such folder; name the handbook's, or begin one: benchleaf begin handbook\n"},

		{"describe", heat, "-in|content|choke-power", 0, powerText, ""},
		{"describe with the start values as example", bare, "-in|content|choke-power", 0,
			strings.NewReplacer("with supply = 12 V, resistance = 10 Ω, lead = 0 Ω it", "with the start values it", "14.4 W", "14.1 W", `supply="12 V" resistance="10 Ω" lead="0 Ω"`, `supply="11 V"`).Replace(powerText), ""},
		{"describe in JSON", heat, "-in|content|choke-power|-json", 0, powerAbout, ""},
		{"run", heat, "-in|content|choke-power|lead=2.5", 0, powerRun, ""},
		{"a specification that differs by model", models, "-in|content|choke-power|lead=2.5", 0,
			strings.NewReplacer("12 V   from", "12 V      from", "10 Ω   from spec:heater", "10000 mΩ  from spec:heater for gx-1").Replace(powerRun), ""},
		{"run in JSON", heat, "-json|choke-power|-in|content|lead=2500 mΩ", 0, powerJSON, ""},
		{"the page in the reader's language", heat, "-in|content|-lang|es|choke-power|supply=12,0|lead=2,5 Ω", 0,
			strings.NewReplacer("Power of the choke heater", "Potencia del calefactor", "12 V   from circuit-drop.load-voltage", "12 V", "2.5", "2,5", "11.52 W", "11,5 W").Replace(powerRun), ""},
		{"a built-in", nil, "parallel-resistance|first=10 ohm|second=15|third=", 0, parallelRun, ""},
		{"a built-in beside a handbook", heat, "-in|content|parallel-resistance|first=10 ohm|second=15|third=", 0, parallelRun, ""},

		{"an error elsewhere", elsewhere, "-in|content|choke-power|lead=2.5", 0, powerRun, elsewhereRemark},
		{"a calculator with an error", slip, "-in|content|choke-power|lead=2.5", 1, "",
			slipRemark + "choke-power: error: there is no calculator `choke-power` [reference-unknown]\n    If it is the handbook's own, mend the handbook's errors first.\n1 error; nothing was calculated\n"},
		{"a chain with an error", unchained, "-in|content|choke-power|lead=2.5", 1, "",
			unchainedRemark + "supply: error: choke-power needs `supply` [key-missing]\n    The handbook gives it no value. Write one, such as 11 V.\n1 error; nothing was calculated\n"},
		{"a value in its place", unchained, "-in|content|choke-power|lead=2.5|supply=12", 0, strings.Replace(powerRun, "12 V   from circuit-drop.load-voltage", "12 V", 1), unchainedRemark},
		{"a chain that brings too little", outside, "-in|content|choke-power|lead=2.5", 1, "",
			outsideRemark + "supply: error: `12 V` is no value of `supply`: it comes from circuit-drop.load-voltage, and the range is 14 to 16 V [quantity-wrong]\n    Write a number from 14 to 16 V. Other units for it: mV.\n1 error; nothing was calculated\n"},

		{"an unknown calculator", nil, "paralel-resistance", 1, "",
			"paralel-resistance: error: there is no calculator `paralel-resistance` [reference-unknown]\n    Did you mean `parallel-resistance`?\n1 error; nothing was calculated\n"},
		{"nothing like a calculator", nil, "current=2", 1, "",
			"current=2: error: there is no calculator `current=2` [reference-unknown]\n    `benchleaf calculate` lists the calculators, with `-in FOLDER` those of a handbook too.\n1 error; nothing was calculated\n"},
		{"no assignment", nil, "parallel-resistance|10", 1, "",
			"10: error: `10` is no assignment [value-text]\n    Write it like first=\"10 Ω\".\n1 error; nothing was calculated\n"},
		{"an unknown input", nil, "parallel-resistance|frist=10", 1, "",
			"frist=10: error: there is no input of parallel-resistance `frist` [reference-unknown]\n    Did you mean `first`? " + parallelInputs + "\n1 error; nothing was calculated\n"},
		{"nothing like an input", nil, "parallel-resistance|R=10", 1, "",
			"R=10: error: there is no input of parallel-resistance `R` [reference-unknown]\n    " + parallelInputs + "\n1 error; nothing was calculated\n"},
		{"twice", nil, "parallel-resistance|first=10|first=11", 1, "",
			"first=11: error: `first` stands twice; the first is at `first=10` [id-duplicate]\n    Give each input once.\n1 error; nothing was calculated\n"},
		{"empty", nil, "parallel-resistance|first=", 1, "",
			"first=: error: `first` is empty [value-empty]\n    Write a value, or leave the input out.\n1 error; nothing was calculated\n"},
		{"another kind of unit", nil, "parallel-resistance|first=10 V", 1, "",
			"first=10 V: error: `10 V` is no value of `first`: V is a unit of voltage; a resistance is wanted, such as Ω [quantity-wrong]\n    " + parallelMend + "\n1 error; nothing was calculated\n"},
		{"an unknown unit", nil, "parallel-resistance|first=10 omh", 1, "",
			"first=10 omh: error: `10 omh` is no value of `first`: unknown unit \"omh\"; did you mean \"Ω\"? [quantity-wrong]\n    " + parallelMend + "\n1 error; nothing was calculated\n"},
		{"out of range", nil, "parallel-resistance|first=0", 1, "",
			"first=0: error: `0` is no value of `first`: the range is 0.001 to 1000000 Ω [quantity-wrong]\n    " + parallelMend + "\n1 error; nothing was calculated\n"},
		{"no number", nil, "parallel-resistance|first=ten", 1, "",
			"first=ten: error: `ten` is no value of `first`: \"ten\" is not a number [quantity-wrong]\n    " + parallelMend + "\n1 error; nothing was calculated\n"},
		{"not finite", nil, "parallel-resistance|first=1e999|second=NaN|third=Inf", 1, "",
			"first=1e999: error: `1e999` is no value of `first`: \"1e999\" is too large [quantity-wrong]\n    " + parallelMend + "\n" +
				"second=NaN: error: `NaN` is no value of `second`: \"NaN\" is not a number [quantity-wrong]\n    " + parallelMend + "\n" +
				"third=Inf: error: `Inf` is no value of `third`: \"Inf\" is not a number [quantity-wrong]\n    " + parallelMend + "\n3 errors; nothing was calculated\n"},
		{"no size of wire", nil, "voltage-drop|area=41 AWG", 1, "",
			"area=41 AWG: error: `41 AWG` is no value of `area`: \"41 AWG\" is no size of the wire gauge, 4/0 to 40 [quantity-wrong]\n    Write a number from 0.05 to 120 mm². Other units for it: AWG.\n1 error; nothing was calculated\n"},
		{"an unknown option", nil, "voltage-drop|material=coper", 1, "",
			"material=coper: error: `coper` is no value of `material` [value-choice]\n    Did you mean `copper`? One of: copper, aluminium.\n1 error; nothing was calculated\n"},
		{"nothing like an option", nil, "voltage-drop|paths=3", 1, "",
			"paths=3: error: `3` is no value of `paths` [value-choice]\n    One of: 1, 2.\n1 error; nothing was calculated\n"},
		{"a number in two ways", nil, "-lang|es|parallel-resistance|first=1.500", 1, "",
			"first=1.500: error: `1.500` is no value of `first`: \"1.500\" may be read in two ways: leave the thousands ungrouped [quantity-wrong]\n    " +
				strings.Replace(parallelMend, "0.001", "0,001", 1) + "\n1 error; nothing was calculated\n"},
		{"what a terminal would act on", nil, "parallel-resistance|first=\x1b[2J", 1, "",
			"first=\uFFFD[2J: error: `\uFFFD[2J` is no value of `first`: \"\\x1b[2J\" is not a number [quantity-wrong]\n    " + parallelMend + "\n1 error; nothing was calculated\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			status, stdout, stderr := try(t, c.files, append([]string{"calculate"}, strings.Split(c.args, "|")...)...)
			if status != c.status || stdout != c.stdout || stderr != c.stderr {
				t.Errorf("status %d, want %d\nstdout\n%s\nwant\n%s\nstderr\n%s\nwant\n%s", status, c.status, stdout, c.stdout, stderr, c.stderr)
			}
		})
	}
}
