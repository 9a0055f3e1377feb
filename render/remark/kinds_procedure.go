package remark

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
