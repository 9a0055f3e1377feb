package remark

import (
	"cmp"
	"slices"
)

// All returns every kind, by id. docs/remarks.md is made from it.
func All() []*Kind {
	all := slices.Clone(kinds)
	slices.SortFunc(all, func(a, b *Kind) int { return cmp.Compare(a.ID, b.ID) })
	return all
}

var kinds []*Kind

func define(severity Severity, id, message, mend, about string) *Kind {
	k := &Kind{id, severity, message, mend, about}
	kinds = append(kinds, k)
	return k
}

// Files.
var (
	FileUnreadable = define(Error, "file-unreadable",
		"the file cannot be read: %[1]s", "See who may read it, and whether the disk is whole.",
		"The system refused to hand the file over.")
	FileSize = define(Error, "file-size",
		"the file has %[1]s; at most %[2]s can be taken", "Divide it: a technician reads a page a step at a time.",
		"Pages and data files have a limit of 2 MB, pictures and other files of 32 MB, so that a mistake cannot fill a phone.")
	TextLimit = define(Error, "text-limit",
		"%[1]s has %[2]s; at most %[3]s can be taken", "Divide it, or write it more simply.",
		"A file has at most 20000 lines, a line 20000 bytes, a paragraph 40000 and 50 lists or quotations one in the other, a table 50 columns, a piece of YAML 200000 values; a page has at most 40 calculators and 40 plots, and 2 MB of links together; calculators in a chain have at most 100 inputs; a circuit has at most 50 points, 100 elements and 200 faults. What is beyond is a mistake, and could hold up the build.")
	RemarkLimit = define(Error, "remark-limit",
		"there are %[1]s more remarks about this file", "Mend those that are told: they are the gravest, and others may go with them.",
		"Of one file 200 remarks are told, and this one, which is as grave as the gravest of the others.")
	FileEncoding = define(Error, "file-encoding",
		"the text is not UTF-8 here", "Save the file as UTF-8 in the editor.",
		"Pages and data files are UTF-8 text. The place is the first byte that is not.")
	FileLink = define(Error, "file-link",
		"a symbolic link is not followed", "Put the file itself here.",
		"A handbook is one folder; a symbolic link could lead out of it, or in a circle.")
	FileName = define(Error, "file-name",
		"%[1]s would have the same name in the edition", "Rename one of the two.",
		"Two files differ only in upper and lower case, or end at the same place, or at one that the edition keeps for itself. Many file systems keep only one of them.")
	NameUnfit = define(Error, "name-unfit",
		"the name cannot be kept on every system: %[1]s", "Rename the file; letters, digits and hyphens go everywhere.",
		"An edition is copied to computers and phones of every kind, and some refuse a name with < > : \" \\ | ? *, one that ends in a blank, or one of a device such as CON.")
	FileUnknown = define(Advice, "file-unknown",
		"nothing reads this file", "Remove it, or correct its name.",
		"A YAML file lies where the build does not look for one.")
)

// YAML and front matter.
var (
	YAMLSyntax = define(Error, "yaml-syntax",
		"the YAML cannot be read: %[1]s", "Look at this line and the one before it: indentation, quotes, brackets, a missing colon.",
		"The YAML of a data file, a front matter or a block breaks off here. Nothing in that file is read until it is mended, and names from it are not reported as unknown.")
	YAMLAlias = define(Error, "yaml-alias",
		"anchors, aliases and tags are not read", "Write the value out.",
		"A value is written where it is used, so that a change is made where it is read.")
	KeyUnknown = define(Error, "key-unknown",
		"`%[1]s` is no key of %[2]s", "Keys here: %[3]s.",
		"A key is misspelt, or stands at the wrong level.")
	KeyMissing = define(Error, "key-missing",
		"%[2]s needs `%[1]s`", "Add the key.",
		"Something that cannot be done without was left out.")
	ValueType = define(Error, "value-type",
		"`%[1]s` wants %[2]s, this is %[3]s", "Write %[2]s.",
		"A value is of another kind than its key wants.")
	ValueEmpty = define(Error, "value-empty",
		"`%[1]s` is empty", "Write a value, or take the key out. In YAML an unquoted # begins a comment: quote a link, \"#step\".",
		"A key stands without a value. Often the value began with # and was read as a comment.")
	ValueChoice = define(Error, "value-choice",
		"`%[1]s` is no value of `%[2]s`", "One of: %[3]s.",
		"A key takes one of a few words, and this is none of them.")
	ValueText = define(Error, "value-text",
		"`%[1]s` is no %[2]s", "Write it like %[3]s.",
		"A day, an id, a language or a number is not written as it must be.")
)

// Pages.
var (
	FrontMatterOpen = define(Error, "front-matter-open",
		"the front matter has no end", "Close it with a line of three hyphens.",
		"A page that begins with `---` has front matter up to the next line of three hyphens.")
	PageTitle = define(Advice, "page-title",
		"the page has no title", "Give it a `title` in its front matter, or a first heading.",
		"The page stands in lists under its file name.")
	RawHTML = define(Advice, "raw-html",
		"HTML is not passed through", "Write Markdown; put code between backticks. A reference has the form <spec:id>.",
		"Text that looks like an HTML element is left out of the page, because it could run script or reach another host.")
	IDDuplicate = define(Error, "id-duplicate",
		"`%[1]s` stands twice; the first is at %[2]s", "Name one of them otherwise.",
		"A key, or the id of a step, a cause or another thing, can stand once only in its place.")
	BlockUnknown = define(Error, "block-unknown",
		"`%[1]s` is no block", "Blocks: %[2]s. A listing in a language has the language's name.",
		"The info string of a fenced block is nearly the name of a block, but not quite, or a block misses its argument.")
	BlockPlace = define(Error, "block-place",
		"%[1]s stands outside the steps of a procedure", "Move it under a level-2 heading of a page with `sheet: procedure`.",
		"Answers and readings lead from one step to another.")
)

// What a handbook makes of remarks.
var (
	RemarkFixed = define(Error, "remark-fixed",
		"`%[1]s` is an error, and cannot be set or allowed", "Mend what it is about, and take this out.",
		"A handbook sets the severity of advice, and allows it at a place. An error stops the output: what is made of it would be wrong.")
	AllowReason = define(Advice, "allow-reason",
		"nothing says why `%[1]s` is allowed here", "Write the reason: `<!-- allow %[1]s: why -->`, or behind the name in the front matter.",
		"Who reads the page next must know why its author did not follow the advice.")
	AllowBlock = define(Advice, "allow-block",
		"nothing says which block `%[1]s` is allowed for", "Write the letters of the block behind it, as its remark has them: `allow %[1]s-bcdfgh: why`.",
		"What is missing, older than its source or of its own in a translation is allowed block by block. Six letters stand for the block and its words: another block, or that one once it was changed, is told again.")
	AllowIdle = define(Advice, "allow-idle",
		"nothing here needs `%[1]s` to be allowed", "Take it out, or move it to the line before what it is for.",
		"An allowance that is left over would hide the next mistake at its place. It holds for the paragraph, list, table or block after it, or for the whole page from the front matter. While the handbook has an error, this is not told.")
)

// Style.
var (
	LimitVague = define(Advice, "limit-vague",
		"`%[1]s` stands for a limit that `%[2]s` gives in figures", "Write <spec:%[2]s>, or say what is seen.",
		"What is normal to one technician is worn to another. In a step whose reading has its limits, words such as normal, proper or OK leave open what they mean.")
	PageUnlinked = define(Off, "page-unlinked",
		"no page leads here", "Link to it where a reader needs it; or allow it, if it is looked up by its name.",
		"Who stands at a machine comes to a page from the step that needs it. This is told of sheets of theory and of reference, in a handbook whose pages lead to one another.")
	SentenceLong = define(Advice, "sentence-long",
		"the sentence has %[1]s words; a step's have at most %[2]s", "Make two of it, or a list.",
		"A technician reads a step, looks away and does it. ASD-STE100 allows 20 words in a sentence that instructs and 25 in one that describes. A reference counts as a word; a colon and a semicolon end a sentence.")
	ValueTyped = define(Advice, "value-typed",
		"`%[1]s` is what the specification `%[2]s` holds", "Write <spec:%[2]s>; or allow it, if it is another value that happens to be the same.",
		"A figure that is typed stays as it is when its specification is changed, and is right for one model only.")
)

// Days.
var (
	RevisedLater = define(Advice, "revised-later",
		"revised on %[1]s, after the day of the edition, %[2]s", "Correct the day, or the `date` of the edition.",
		"What an edition holds was written by its day. Often a year or a month is mistyped.")
	SpecUnrenewed = define(Advice, "spec-unrenewed",
		"the specification `%[1]s` changed since the older edition, and `revised` did not: %[2]s", "Give it the day of the change as `revised`.",
		"Who holds an older copy sees by the day which of two values is the newer one. This is told where the build is given an older edition, by `-since`, and the values, the unit or the conditions are no longer what they were in it.")
	CheckOverdue = define(Advice, "check-overdue",
		"it was to be looked at by %[1]s, before the day of the edition, %[2]s", "Look whether it still holds, and give it a new `check-by`.",
		"A page or the handbook says by when its publisher looks at it again, and goes into a new edition without. Phones tell their readers that the day has passed.")
)

// Links and references.
var (
	LinkNowhere = define(Error, "link-nowhere",
		"`%[1]s` leads nowhere", "Link to a page by its file, to a heading or step by # and its id.",
		"The page, heading, step or file that a link names does not exist.")
	LinkOutside = define(Error, "link-outside",
		"`%[1]s` leads out of the handbook's folder", "Copy the file into the handbook.",
		"A relative link climbs above the handbook's folder, or is a path of this one machine.")
	LinkUnsafe = define(Error, "link-unsafe",
		"a link of the kind `%[1]s` can run script or read files", "Use http, https, mailto or tel, or a reference.",
		"Only schemes that cannot act in the reader's browser are let through.")
	ReferenceUnknown = define(Error, "reference-unknown",
		"there is no %[1]s `%[2]s`", "Define it, or correct the name.",
		"A reference names a specification, cause, part, model, state, hazard, calculator or end that nothing defines.")
	PictureUnsafe = define(Warning, "picture-unsafe",
		"the picture holds %[1]s", "It is left out of the edition. Save the drawing as plain SVG, and look whether it is whole.",
		"Of an SVG picture an edition has neither script, event attributes, animation, foreign objects, definitions of its own nor references to other files. Metadata, comments and what drawing programs note for themselves go without a remark.")
	PictureUnread = define(Error, "picture-unread",
		"the picture cannot be taken: %[1]s", "Save it anew, from a drawing program as plain SVG, from others as PNG, JPEG or WebP.",
		"The file breaks off, is damaged, moves, or is of another kind than its name says.")
	PictureSize = define(Error, "picture-size",
		"the picture has %[1]s pixels; at most 50 million can be taken", "Save it smaller; an edition has at most 1440 pixels of its width.",
		"A picture is read whole to be made smaller, and one of such a size is most likely a mistake.")
	PictureSmall = define(Advice, "picture-small",
		"the picture is %[1]s pixels wide; a phone shows it with 720 or more", "Take it anew with more; 1440 serve for looking close, too.",
		"A photograph that stands alone in its paragraph is shown as wide as the screen, and looks blurred where it has fewer pixels than that. It is advised once, where the first page shows it.")
	AssetKind = define(Error, "asset-kind",
		"`%[1]s` is no picture or document that a page may hold", "Pictures are SVG, PNG, JPEG or WebP; a link may lead to a PDF, CSV or text file too.",
		"Other files could run script in the reader's browser, outside the content policy of the handbook's own pages.")
	PictureText = define(Advice, "picture-text",
		"the picture has no text", "Say between the brackets what it shows, for who cannot see it.",
		"A picture without alternative text says nothing to a screen reader, nor when it does not load.")
	CalloutText = define(Error, "callout-text",
		"the picture has numbers without a text: %[1]s", "Say what they are in a numbered list directly beneath the picture, a line for each number.",
		"A picture has callouts, and the list beneath it does not have them all: who looks at the part cannot know its name.")
	CalloutUnknown = define(Error, "callout-unknown",
		"the picture has no number `%[1]s`", "Write a numbered list directly beneath a picture of this step, or correct the number.",
		"A text names a callout, or a line of the list beneath a picture has a number, that is not there. A text means the nearest picture above it in its step, or the first below, that has a list.")
	CalloutNumber = define(Error, "callout-number",
		"the callout `%[1]s` is no number", "Number the callouts of the picture from 1.",
		"An element of the class `callout` in an SVG picture holds something else than a number, so that no line of a list can be its text.")
)

// Data.
var (
	UnitUnknown = define(Error, "unit-unknown",
		"`%[1]s` is no unit", "Units are written as on the meter: V, mΩ, °C, rpm, kPa.",
		"The unit is misspelt, or is not one that the build knows.")
	QuantityWrong = define(Error, "quantity-wrong",
		"`%[1]s` is no value of `%[2]s`: %[3]s", "Write a number with its unit, such as %[4]s.",
		"A preset of a calculator is not a number, has no unit of the right kind, or lies outside the calculator's range.")
	FormulaSyntax = define(Error, "formula-syntax",
		"the formula cannot be taken: %[1]s", "%[2]s",
		"A formula of a calculator is arithmetic on named quantities: numbers, names, + - * /, parentheses, and functions such as sqrt or choose(condition, a, b). A hyphen in a name is written as an underscore.")
	FormulaName = define(Error, "formula-name",
		"%[1]s", "%[2]s",
		"A formula uses a name that nothing in its calculator has, or a name is given that cannot be one: that of a function, of a word of the language, or of another quantity.")
	FormulaDimensions = define(Error, "formula-dimensions",
		"%[1]s", "%[2]s",
		"The dimensions do not agree: what a formula gives is not what its result's unit measures, or two quantities of different kinds are added or compared.")
	FormulaUnused = define(Error, "formula-unused",
		"%[1]s", "%[2]s",
		"A technician would enter a value that changes nothing. Often a name in a formula is not the one that was meant.")
	FormulaCycle = define(Error, "formula-cycle",
		"%[1]s", "%[2]s",
		"Values that need one another have no value.")
	FormulaDomain = define(Error, "formula-domain",
		"%[1]s", "%[2]s",
		"With entries that the ranges allow the calculator has no result. The remark names such entries.")
	FormulaDoubt = define(Advice, "formula-doubt",
		"%[1]s", "%[2]s",
		"The ranges alone do not exclude that the calculator has no result for some entries. None was found by trying.")
	ExampleWrong = define(Error, "example-wrong",
		"the example says that `%[1]s` is %[2]s; the calculator gives %[3]s", "Correct the example, or the formula.",
		"A worked example of a calculator does not come out as it says. Its figures hold to the last digit written.")
	CalculatorName = define(Error, "calculator-name",
		"`%[1]s` is the name of %[2]s", "Give the calculator a name of its own.",
		"A handbook's own calculator has a name that no other calculator of the handbook has.")
	CalculatorCycle = define(Error, "calculator-cycle",
		"this takes its value from `%[1]s`, which needs it: %[2]s", "Let one of them be entered.",
		"Calculators take results of one another in a ring, so that none can begin.")
	MeterMissing = define(Advice, "meter-missing",
		"in the verdict %[1]s counts as exact: the handbook has no meter for it", "Add a meter of that unit to handbook.yaml, state its accuracy under `meters` here, or say `no` there for what nobody reads.",
		"A calculator's result is held against a limit, and a reading that it rests on is taken as free of error. A verdict may then be given that the real meter does not bear.")
	LimitMissing = define(Error, "limit-missing",
		"the specification says nothing", "Give it `nominal`, `min` or `max`.",
		"A specification has neither a nominal value nor a limit.")
	LimitOrder = define(Error, "limit-order",
		"%[1]s is above %[2]s", "Exchange them, or correct the figure.",
		"The least value is greater than the nominal or the greatest value, or the first serial number of a range than the last.")
	SerialOverlap = define(Advice, "serial-overlap",
		"`%[1]s` is a serial number of both %[2]s and %[3]s", "Give each model the numbers that it alone has.",
		"A phone that is given such a number cannot tell the model, and names both. Hyphens and spaces do not count: without them Q15-020417 is Q150-20417.")
)

// Procedures.
var (
	StepEnd = define(Error, "step-end",
		"nothing leads on from step `%[1]s`", "Add an `answers` block or a `reading` that leads to a step, a cause or end:hand-over.",
		"A technician who comes to this step stands there without a way on.")
	StepUnreached = define(Error, "step-unreached",
		"no answer leads to step `%[1]s`", "Lead an answer to it, or take it out.",
		"From the first step there is no way to this one.")
	AnswerForm = define(Error, "answer-form",
		"an answer is not written as a link", "Write a list: `- [It turns freely](#next-step)`, or `- text -> [where](#next-step)`.",
		"Each item of an answers block has a text and one link.")
	StepLoop = define(Error, "step-loop",
		"from step `%[1]s` no way leads to an end", "Lead one answer of the loop to a cause or to end:hand-over.",
		"A technician who comes here goes round and round.")
	StepsMissing = define(Error, "steps-missing",
		"the procedure has no step", "Write each step under a level-2 heading.",
		"A page with `sheet: procedure` has no level-2 heading.")
	CauseUnreached = define(Error, "cause-unreached",
		"no way leads to cause `%[1]s`", "Lead an answer to cause:%[1]s, or take the cause out.",
		"A cause is listed that no sequence of answers can find.")
	ReadingLimit = define(Error, "reading-limit",
		"`%[1]s` has no limit for %[2]s", "Add the limit to the specification, or take the model out of `applicability`.",
		"A reading, or a calculator's result, is held against a specification that has no least and no greatest value for a model to which the page applies.")
	ReadingConditions = define(Advice, "reading-conditions",
		"nothing says under which conditions `%[1]s` is read", "Add `conditions` to the specification or to the reading: engine state, load, temperature, connector mated or open.",
		"A limit holds under conditions. A reading that was taken under others condemns a good part.")
	ReadingRange = define(Error, "reading-range",
		"%[1]s of `%[2]s` is beyond what the meter reads: %[3]s%[4]s", "Correct it or the meter's `range`, or name a meter that reads so far.",
		"The meter for this unit in handbook.yaml has a range, and a limit or an end of what is `possible` lies outside it. Such a reading would be taken for a slip, and decide nothing.")
	PartAbsent = define(Error, "part-absent",
		"%[1]s is about the part `%[2]s`, which %[3]s does not have", "Take the model out of `applicability`, or add it to the part's `models`.",
		"A technician with that model would be sent to look for a part that is not there.")
	ReadingOutcome = define(Error, "reading-outcome",
		"the reading does not say where `%[1]s` leads", "Add `%[1]s` with a target.",
		"A reading below, within or above its limits must lead on; below counts where the specification has a least value, above where it has a greatest.")
	ReadingSecond = define(Error, "reading-second",
		"step `%[1]s` has a reading already", "Make a step of its own for the second one.",
		"A step is one instruction: a second reading would leave open which of the two leads on.")
	ReadingUndecided = define(Advice, "reading-undecided",
		"whatever step `%[1]s` shows, it leads to `%[2]s`", "Lead what is outside elsewhere than what is within, one answer elsewhere than another; or ask for what is seen, without a reading.",
		"A reading is taken to tell one thing from another. One that leads to the same cause or step from all its outcomes decides nothing; where that is a cause, what is right condemns it, and the remark is an error. Nor do answers that all lead to one step.")
	NoneWithin = define(Advice, "none-within",
		"no reading at all leads where `within` leads, and `%[1]s` leads elsewhere", "Lead `none` where `%[1]s` leads, or to a step of its own.",
		"An open circuit reads beyond the greatest ohms, a dead one no volts, and a mark that never comes is later than the latest. It is no reading within limits.")
	ProbeMissing = define(Advice, "probe-missing",
		"the reading does not say %[1]s", "Add it: the two points that the leads touch, and the function and range of the meter.",
		"Two technicians who hold the leads to different points read different values. Where others of the handbook do, a reading in volts or ohms says both points, and every reading but a time the meter and its function.")
	ProbeSame = define(Error, "probe-same",
		"both leads are on `%[1]s`", "Name in `black` the point at which the other lead is.",
		"Between a point and itself a meter always reads nothing.")
	MeterUnfit = define(Error, "meter-unfit",
		"the meter is set to %[1]s, and `%[2]s` is in %[3]s", "Correct `meter`, or name another specification.",
		"The function of the meter does not read the unit of the specification.")
	TimingMark = define(Error, "timing-mark",
		"%[1]s", "%[2]s",
		"A timing's curve, computed with the values of the page, never comes to the value of a mark, or comes to the marks in another order than they are listed in.")
	TimingUnread = define(Error, "timing-unread",
		"the limits follow from %[1]s, which nobody is asked for", "Say `yes` in the calculator's `meters` (`meter` of an input) for what is read at the machine, `no` for what holds for every machine on every day.",
		"A timing is judged by a curve, and the curve depends on an input that stands on the page's own figure. A time that is right at the temperature or voltage of today would be called wrong.")
	HazardUnguarded = define(Error, "hazard-unguarded",
		"no safety panel warns of `%[1]s`", "Put a `safety` block for it into the first step that meets it, before the action.",
		"A hazard is named in the front matter, but no step shows its panel.")
	HazardNotice = define(Advice, "hazard-notice",
		"the panel is a %[1]s of `%[2]s`, of which others are a %[3]s", "Give it the level of the others. A notice is for damage without injury.",
		"A hazard that can injure has a panel of the level danger, warning or caution wherever it is met. One panel below the level that all others have is told too.")
	PanelBelow = define(Error, "panel-below",
		"in step `%[1]s` this panel stands below what is to be answered", "Put the `safety` block before the action, above `answers`, `reading` and `timing`.",
		"Who has measured and answers does not read on: a warning comes before the action that it is about.")
	HazardLate = define(Error, "hazard-late",
		"%[1]s names hazard `%[2]s`, but its panel can come after it%[3]s", "Put a `safety` block for it into this step or one that every way passes before; for a remedy, into each step that leads to the cause.",
		"A step, or a remedy, says with `<hazard:...>` which hazard it meets, and a reader can come there without having seen its panel.")
	HazardUnlisted = define(Advice, "hazard-unlisted",
		"the panel warns of %[1]s, which the front matter does not name%[2]s", "Add it to `hazards` in the front matter.",
		"The head of the sheet names the hazards of the whole procedure, before a technician begins.")
	SelfCheckForm = define(Error, "self-check-form",
		"this self-check is not whole", "Write a question, then a list of at least two answers, `- [ ]` or `- [x]`, some right and some not; what follows explains them.",
		"A self-check is a question, a list of answers with boxes of which the right ones are ticked, and an explanation.")
	StepSecond = define(Error, "step-second",
		"step `%[1]s` has a second step block", "Put both into one.",
		"A step says in one place what the order of checks must know of it.")
	StepEarly = define(Error, "step-early",
		"a reader can come to step `%[1]s` without `%[2]s`, which it needs", "Lead every way through `%[2]s` first, or take the need out.",
		"A step says that another must come before it, and an answer leads past that one.")
	AnswerOwn = define(Error, "answer-own",
		"this leads to the page on which it stands", "Lead it to a step of the page, by # and its id, or to a cause or an end.",
		"A way to a page begins it anew. One that begins its own page goes round without an end.")
	PageModels = define(Advice, "page-models",
		"an answer leads to %[1]s, which does not hold for %[2]s", "Add the model to that page's `applicability`, lead the answer elsewhere, or name in its text the model for which it is meant.",
		"A page holds for the models of its `applicability`, or for all of them. A technician with another model is led to limits and parts that are not his.")
	EntryEarly = define(Error, "entry-early",
		"this begins %[1]s at step `%[2]s`, past what is needed from there on: %[3]s%[4]s", "Lead it to the page itself, which begins at its first step.",
		"An answer can lead into the middle of another procedure. A technician who comes that way has passed none of the steps before: not those that others need, no safety panel in them, nothing that they set.")
	StepRepeated = define(Advice, "step-repeated",
		"an answer of step `%[1]s` leads back to `%[2]s`, whose outcome is known by then", "Lead on from what is known; or say `again: yes` in the step block of `%[2]s`, if the machine has changed.",
		"A technician would do a check twice on a machine that is the same as before. Where the answer was meant for a step or a cause to which no other leads, the remark is an error.")
	CauseContradicted = define(Advice, "cause-contradicted",
		"an answer of step `%[1]s` leads on to cause `%[2]s`, whose remedy sets `%[3]s`, after that was found within its limits", "Lead it to a step or a cause of its own; or read the quantity again before the cause.",
		"On another way the cause explains a reading outside its limits; on this one the same reading, at the same points and in the same engine state, was within. A technician would adjust what is right.")
	CausesAlike = define(Error, "causes-alike",
		"no answers tell `%[1]s` from `%[2]s`", "Add a check between them, or make them one cause.",
		"Every way that ends at one of the two causes can as well end at the other.")
	CauseTwice = define(Error, "cause-twice",
		"cause `%[1]s` has the title of cause `%[2]s`", "Say in each what tells it from the other, or make them one cause.",
		"Who has found one of two causes in the same words cannot know which, and records of jobs do not tell them apart.")
	RemedyMissing = define(Advice, "remedy-missing",
		"%[1]s without a `remedy`, while others have one", "Say what mends the cause.",
		"A technician who has found a cause without a remedy is left alone with it.")
	FrequencyMissing = define(Advice, "frequency-missing",
		"%[1]s without a `frequency` above 0, while others have one", "Give each cause its `frequency`; only their ratios count.",
		"How soon the cause is found depends on how often each one is at fault. Without one of the figures no order of checks is judged.")
	MinutesMissing = define(Advice, "minutes-missing",
		"%[1]s without minutes, while others have them", "Say in each heading how long the step takes: `<minutes:3>`.",
		"How soon the cause is found depends on what each check costs. Without one of the figures no order of checks is judged. Checks after the repair are not asked.")
	DetectsIdle = define(Advice, "detects-idle",
		"step `%[1]s` cannot show cause `%[2]s`: no answer of it leads there, but for the one that goes on", "Take it out of `detects`, or move it to the step that shows the cause.",
		"`detects` says how probably a step shows a cause that is there. A step shows a cause to which an answer leads, by itself or over other steps; the answer that goes on with the search shows none of those behind it.")
	OrderBetter = define(Advice, "order-better",
		"as written, the cause is found in %[1]s minutes on average; in the order %[2]s it takes %[3]s", "Change the order, or say with `needs` or `state` why it cannot be changed.",
		"The figures follow from the causes' `frequency`, the steps' `minutes`, and the step blocks. They assume one fault, checks that are independent of each other, and fixed minutes. The author's order is never changed for them.")
	SymptomTwice = define(Advice, "symptom-twice",
		"%[1]s has this symptom too", "Say in each what tells it from the other, or make one page of the two.",
		"The finder lists procedures by what is observed. Of two in the same words nobody knows which to take.")
	ProcedureSymptom = define(Error, "procedure-symptom",
		"the procedure names no symptom", "Add `symptom`: what the customer observes.",
		"The finder lists procedures by what is observed.")
)

// Circuits.
var (
	CircuitUnsolved = define(Error, "circuit-unsolved",
		"in engine state `%[2]s` the circuit has no solution: %[1]s", "Give the source its inner resistance, a joint its few mΩ, a relay a `drops-out` well below what its coil has.",
		"Voltages and currents cannot be computed of the circuit as it is described.")
	FuseBlown = define(Error, "fuse-blown",
		"fuse `%[1]s` blows in the sound circuit: in engine state `%[2]s` it has to carry %[3]s A, and is rated %[4]s A", "Correct the rating, or the resistance of what it feeds.",
		"A fuse opens above 1.35 times its rating. In a circuit without a fault none may.")
	FaultForm = define(Error, "fault-form",
		"this fault does not say what changes", "Name an `element` and a list of `ohms` or of `volts`, or two points `between` which a leak of so many `ohms` lies; only `shows` where nothing electrical changes.",
		"A fault of a circuit changes the resistance of one element or the voltage of one source, or adds a leak between two points.")
	ProbeUnit = define(Error, "probe-unit",
		"`%[1]s` is in %[2]s, which no circuit gives", "Take `at` out, or name a specification in volts, ohms or amperes.",
		"The readings of a circuit are voltages, resistances and currents; the unit of the specification says which.")
	ProbeName = define(Error, "probe-name",
		"`at` puts the %[2]s lead on `%[1]s`, and `%[2]s` says `%[3]s`", "Name the same point in both.",
		"The sheet tells the technician what `red` and `black` say, and the circuit is read at the points of `at`.")
	CircuitReading = define(Error, "circuit-reading",
		"in %[1]s the sound circuit reads %[2]s: %[3]s%[4]s", "Correct the circuit, the limits, or the points of `at`.",
		"What a circuit gives without a fault must lie within the limits of the reading, by more than the meter leaves open, for every model. Where several readings do not, the remark stands at the circuit.")
	FaultHidden = define(Error, "fault-hidden",
		"no reading of the procedure shows %[1]s", "Try a greater magnitude, or add a reading that the fault moves; for an intermittent one a reading with `unstable`.",
		"A fault that moves no reading out of limits, by more than the meter leaves open, cannot be found by measuring. One that comes and goes must make a reading jump whose `unstable` leads on.")
	FaultAstray = define(Error, "fault-astray",
		"with %[1]s the way ends at %[2]s, in step `%[3]s`: %[4]s", "Correct the step's answers, its limits, or what the fault `shows`.",
		"Whoever follows the procedure on a machine with this fault must come to its cause. The build walks it with the readings that the circuit gives and the answers that steps show.")
	CauseUnplanted = define(Advice, "cause-unplanted",
		"no fault of circuit `%[1]s` stands for cause %[2]s%[3]s", "Add it to `faults` with what changes; with a `title` alone where nothing of the circuit does.",
		"The build proves that a reading shows each fault of the circuit and that the way leads to its cause, and the bench plants them. Of a cause without one nothing is proved, and nobody practises it.")
)

// Settings of the machine, checks after the repair, and ends.
var (
	SettingMissing = define(Error, "setting-missing",
		"a reader can come to %[2]s without setting `%[1]s`, which it requires: %[3]s%[4]s", "Lead every way through a step that `sets` it, or take the requirement out.",
		"A step says in `requires` what must stand on the machine when it begins. The remark names the steps of a way on which it does not.")
	SettingForbidden = define(Error, "setting-forbidden",
		"setting `%[1]s` can stand at %[2]s, which forbids it: %[3]s%[4]s", "Put it back (`restores`) on every way before.",
		"A step says in `forbids` what must not stand on the machine when it begins. The remark names the steps of a way on which it does.")
	SettingState = define(Error, "setting-state",
		"setting `%[1]s` can stand at %[2]s, in an engine state that it does not allow: %[3]s%[4]s", "Put it back (`restores`) before, or in this step; or add the engine state to the setting's `states`.",
		"A setting says in which engine states it may stand; a plug lead that is off may not stand while the engine runs. A step restores before its engine state is entered.")
	SettingLeft = define(Error, "setting-left",
		"setting `%[1]s` can still stand at %[2]s, which does not put it back: %[3]s%[4]s", "Put it back (`restores`) in a step before, or at this end.",
		"A machine goes out as it came. An end, a cause and a way to another page are places at which nothing may still stand that is not put back there.")
	SettingIdle = define(Error, "setting-idle",
		"setting `%[1]s` never stands at %[2]s, which puts it back: %[3]s%[4]s", "Take it out of `restores`, or add the step that `sets` it.",
		"A technician is told to put back what is in its place on every way.")
	SettingTwice = define(Error, "setting-twice",
		"setting `%[1]s` stands already whenever %[2]s begins, which sets it: %[3]s%[4]s", "Take it out of `sets`, or put it back before.",
		"A technician is told to do what is done already on every way.")
	CheckEarly = define(Error, "check-early",
		"%[1]s leads to `%[2]s`, a check after the repair, before a cause is found", "Lead it to a step of the search or to a cause: the cause leads on to the check.",
		"A check with `verification: yes` proves a repair, so that only causes and other checks lead to it.")
	CheckUnfit = define(Error, "check-unfit",
		"cause %[1]s leads to step `%[2]s`, which is no check after the repair", "Say `verification: yes` in that step's block, name another step, or `no` where another page has the check.",
		"A cause's `verification` names the step that proves its repair.")
	RepairedEarly = define(Error, "repaired-early",
		"step `%[1]s` leads to end:repaired, and is no check after the repair", "Lead it to a cause, or to another end.",
		"Repaired and proved is where a check with `verification: yes` leads.")
	RepairedNever = define(Error, "repaired-never",
		"from check `%[1]s` no way leads to end:repaired", "Lead the answer of a repair that holds to end:repaired, or to the next check.",
		"A check after the repair that no answer passes proves nothing.")
	CheckOutside = define(Error, "check-outside",
		"check `%[1]s` is passed by `%[2]s`", "Lead it back into the search, to a cause or to another end.",
		"A check after the repair proves something by a reading within its limits. One outside leads elsewhere than to end:repaired, and elsewhere than `within`; one that jumps, or none at all, proves nothing either.")
	CheckUnfailing = define(Error, "check-unfailing",
		"whatever check `%[1]s` shows, it leads to end:repaired", "Lead the answer of a repair that does not hold back into the search, to a cause or to another end.",
		"A check after the repair that no answer fails proves nothing.")
	CheckElsewhere = define(Advice, "check-elsewhere",
		"cause `%[1]s` says `verification: no`, and its remedy leads to no page with a check", "Name the check of this page, or link the page that has it in the remedy.",
		"A repair without a check here is proved on another page; the remedy says on which. Otherwise it stays unproved in every record.")
	CheckMissing = define(Advice, "check-missing",
		"no check after the repair%[2]s is done in %[1]s, the engine state of the complaint", "Add a step with `verification: yes` and this `state` that leads to end:repaired; or say `verification: no` at the causes whose check stands on another page.",
		"A repair is proved in the engine state in which the complaint shows; a fault of the cold start after a cold soak.")
	ComplaintUnconfirmed = define(Advice, "complaint-unconfirmed",
		"the first step has no answer for a complaint that does not show", "Lead one of its answers to end:not-reproduced, or to the page of the complaint that shows instead.",
		"The first step confirms the complaint. Without it a technician looks for a fault that the machine does not have.")
	EndUnlogged = define(Advice, "end-unlogged",
		"end:not-reproduced does not say %[1]s", "Add it to the front matter: `ends: {not-reproduced: {log: [what to note], again: when to try again}}`.",
		"A fault that comes and goes is found the next time, if what was seen is noted and the conditions under which to try again are known.")
	ReadingState = define(Advice, "reading-state",
		"nothing says in which engine state step `%[1]s` takes its reading", "Give the step its `state`, or the page the `states` of its complaint.",
		"A limit holds in one engine state. Where the handbook has a list of them, each reading is taken in one.")
	StateUnclear = define(Advice, "state-unclear",
		"step `%[1]s` says no engine state: it counts as done in `%[2]s`, and a way from step `%[3]s` comes in `%[4]s`%[5]s", "Give the step its `state`.",
		"Readings and checks hold in one engine state, and what it takes to bring an engine into it counts in the order of checks.")
	AnswerTwice = define(Error, "answer-twice",
		"step `%[1]s` has two answers in the same words, `%[2]s`", "Say in each what tells it from the other, or take one out.",
		"A technician who finds that answer true has two buttons, and nothing says which one to take. Upper and lower case do not tell answers apart.")
	ReadingIdle = define(Error, "reading-idle",
		"`%[1]s` never happens: `%[2]s` has no %[3]s for any model of the page", "Take the outcome out, or add the limit to the specification.",
		"A reading is low below a least value and high above a greatest; where the specification has none, the way leads nowhere.")
)

// Labels.
var (
	LabelSheet = define(Error, "label-sheet",
		"the %[1]s of labels take %[2]s; %[3]s paper has %[4]s", "Copy columns, rows, width, height and gap from the pack of labels.",
		"The labels do not lie within their paper, so that what is printed would not lie within them.")
	LabelSmall = define(Error, "label-small",
		"the label has %[1]s for its code, which needs %[2]s", "Take a larger label, or a shorter `address`.",
		"A code whose modules are narrower than 0.4 mm is not read reliably off a printed label. The longest address of the sheet says how many modules there are.")
)

// Advice on what is missing.
var (
	DataMissing = define(Advice, "data-missing",
		"the handbook has no %[1]s", "%[2]s",
		"A folder of plain pages compiles; the remark says what the missing file would add.")
	SettingUnused = define(Advice, "setting-unused",
		"no procedure names the setting `%[1]s`", "Name it in the step that `sets` it, or take it out.",
		"What a step does to the machine and does not say is not put back either.")
	PartUnexamined = define(Advice, "part-unexamined",
		"no procedure examines the part `%[1]s`", "Name it in a cause of a procedure or in a step.",
		"Nobody who follows the handbook would find this part at fault.")
	SynonymAlone = define(Advice, "synonym-alone",
		"a list of synonyms has one word", "Add a word that means the same, or take the list out.",
		"The `synonyms` of handbook.yaml are lists of words and phrases that mean the same: who searches for one finds the others.")
	SynonymIdle = define(Advice, "synonym-idle",
		"none of these stands in the handbook in `%[2]s`: %[1]s", "Add the word that the pages use, or take the list out.",
		"A list of synonyms leads from what a technician types to the word that the pages use; that word is missing from it.")
	LanguageEmpty = define(Advice, "language-empty",
		"there is no page in `%[1]s`", "Put the pages of this language into the folder %[1]s/, or take it out of `languages`.",
		"A language is listed, but its folder has no page.")
)

// Earlier values and bulletins.
var (
	HistoryOrder = define(Error, "history-order",
		"`%[1]s` stands before `%[2]s`, and comes after it", "Put the oldest value first, and of days and numbers the first.",
		"The `history` of a specification tells its values in the order in which they held.")
	HistoryOverlap = define(Error, "history-overlap",
		"two earlier values hold %[1]s", "Let one end where the next begins.",
		"Of two values that a specification had for the same machines at the same time nobody knows which was right.")
	HistoryGap = define(Warning, "history-gap",
		"`history` has no value %[1]s", "Let one begin where the one before it ends.",
		"Between two values that follow each other there is none. For serial numbers that no earlier value names the present one holds, which may not be meant.")
	HistoryLater = define(Warning, "history-later",
		"this value holds %[1]s, and the edition is of %[2]s", "Leave the value as it is until then, or correct the day or the `date` of the edition.",
		"From its first day on the edition shows the value that comes after it, and judges readings by that. Until the day of the change they are judged by what does not hold yet. A value for some serial numbers that is told to hold from a later day is shown at once.")
	HistorySerial = define(Error, "history-serial",
		"no model of this value has serial numbers from `%[1]s` to `%[2]s`", "Take the numbers from the `serial` of the model, or correct those.",
		"An earlier value holds for machines that the handbook does not know.")
	SupersededCurrent = define(Error, "superseded-current",
		"the bulletin supersedes `%[1]s`, and its value%[2]s still holds", "Write the new value into the specification, and move the one before into its `history` with this bulletin's name.",
		"A bulletin says that a value does not hold any more, but the specification has not changed: every page would show what is superseded.")
	ValueSuperseded = define(Warning, "value-superseded",
		"`%[1]s` was a value of `%[2]s` until %[3]s", "Name the specification, `<spec:%[2]s>`: it has what holds now.",
		"The page shows the specification, and in its text a figure that this held before and that was superseded; or a page or a text of the handbook's data names it by its title beside such a figure. A reader takes it for what holds.")
	BulletinEarly = define(Error, "bulletin-early",
		"it supersedes from %[1]s a value that holds only from %[2]s", "Correct one of the two days.",
		"A bulletin cannot change a value before there was one.")
	BulletinDay = define(Error, "bulletin-day",
		"the bulletin says from %[1]s, the history of the value until %[2]s", "Correct one of the two days.",
		"The day from which a bulletin supersedes a value is the one until which that value held.")
	BulletinSilent = define(Error, "bulletin-silent",
		"the bulletin `%[1]s` does not supersede `%[2]s`", "Name it in the bulletin's `supersedes`, or correct the name of the bulletin.",
		"The history of a value names the bulletin that changed it, and that says nothing of it: its readers would not learn what has changed.")
	BulletinIdle = define(Advice, "bulletin-idle",
		"nothing refers to this bulletin", "Say in `supersedes` which values and procedures it changes.",
		"A page that shows what a bulletin supersedes leads to it. To one that supersedes nothing no page leads: who follows a procedure does not read it.")
)
