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
		"An edition is copied to computers and phones of every kind, and some refuse a name with < > : \" \\ | ? *, one that ends in a blank, or one of a device such as CON. A name with a character that nobody sees looks as another does.")
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
		"links of the kind `%[1]s` are not let through", "Use http, https, mailto or tel, or a reference.",
		"Some schemes run script or read files. Only those that are known not to act in the reader's browser are let through.")
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
