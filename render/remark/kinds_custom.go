package remark

// What a handbook does elsewhere, and what its readings have shown.
var (
	ConditionsUnsaid = define(Advice, "conditions-unsaid",
		"the reading of `%[1]s` does not say its conditions; all others of the page do", "Add `conditions`: key, engine state, load, connector mated or open.",
		"What a specification says of its conditions is printed where a reading has none. They hold for every step that measures it, and do not say how the key stands in this one.")
	HazardUnnamed = define(Advice, "hazard-unnamed",
		"step `%[1]s` does not name `%[2]s`, as all other steps %[3]s do", "Add `<hazard:%[2]s>` to the heading.",
		"A panel warns of what the step's own action meets. Named in the heading, the hazard is proved on every way, and is shown to who comes by a label or a link. What all others in an engine state name is a hazard of that state, with a panel of the step or without.")
	WhoUnsaid = define(Advice, "who-unsaid",
		"%[1]s, where `%[4]s` stands, is for: %[2]s; all others are for: %[3]s", "Say `who: %[3]s`.",
		"Who may do a step or a remedy hangs on how the machine stands. Behind a cover that only a licensed electrician opens nobody else measures or repairs.")
	NameTwice = define(Advice, "name-twice",
		"%[1]s has the %[2]s of `%[3]s`", "Say in each what tells it from the other, or make them one.",
		"Two models in the same words are one line twice in a list, and a technician takes the limits of the wrong one. Two parts with one title or number are ordered for each other.")
	CauseWithin = define(Advice, "cause-within",
		"cause `%[1]s` condemns the part `%[2]s`, and on a way to it all readings are within limits", "Lead a reading outside its limits to it, or what is within elsewhere; or look whether `within` and `high` are exchanged.",
		"What is left over can be the cause where something was read outside its limits before. Where everything that was measured is right, nothing shows that a part is at fault.")
	ReadingKnown = define(Advice, "reading-known",
		"step `%[1]s` reads `%[2]s` again, which is within its limits here", "Lead `within` to what else can be, or look whether it and another outcome are exchanged.",
		"The same quantity, at the same points and in the same engine state, was found right by the step before. It is taken again to see what takes the fault away, after a reading outside its limits.")
	UnstableWithin = define(Advice, "unstable-within",
		"an unstable reading leads where `within` leads, and `%[1]s` leads elsewhere", "Lead `unstable` to a step that moves the wires, or where `%[1]s` leads.",
		"A reading that jumps is a joint that opens. It is no reading within limits.")
	LimitNegative = define(Error, "limit-negative",
		"%[1]s: a %[2]s is never below nothing", "Take the sign out, or correct the unit.",
		"A resistance, a frequency, a speed, a time, a mass, a volume or a capacitance has no negative value.")
	RemedyOwn = define(Advice, "remedy-own",
		"the remedy leads to the page on which it stands", "Lead it to a step of the page, by # and its id, or to the page that was meant.",
		"A technician who has found the cause is sent back to the beginning.")
)
