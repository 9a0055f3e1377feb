package remark

// Style: how steps are written.
var (
	SentenceLong = define(Advice, "sentence-long",
		"the sentence has %[1]s words; a step's have at most %[2]s", "Make two of it, or a list.",
		"A technician reads a step, looks away and does it. ASD-STE100 allows 20 words in a sentence that instructs and 25 in one that describes. A reference counts as a word; a colon and a semicolon end a sentence.")
	InstructionsSeveral = define(Advice, "instructions-several",
		"the sentence says to do %[1]s things one after the other", "Make sentences of it, a list, or two steps.",
		"Who reads three things at once does two of them. ASD-STE100 has one instruction in a sentence, two where both are done together; a sentence or a heading of a step with three or more is told. What begins with a verb of the workshop counts, in English.")
	InstructionPassive = define(Advice, "instruction-passive",
		"`%[1]s` leaves open whether it is so or is to be done", "Say it to the technician: Remove the fuse.",
		"An instruction says what to do. In the passive nobody knows who does it, or whether it has been done. In a step, sentences such as “The fuse is removed” or “It must be tightened” are told, in English and Spanish.")
	CautionLate = define(Advice, "caution-late",
		"`%[1]s` stands below what it is about", "Make a `safety` block of it, which a step shows first; on a page without steps put it above the list. What is to be done before is written before.",
		"Who reads while working has done it by then. Told are sentences of a step that begin with a word such as Caution, or with Before that, after another sentence, in English and Spanish; and a panel beneath a numbered list of a page without steps.")
	UnitsMixed = define(Advice, "units-mixed",
		"the figure is in %[1]s, where %[2]s is used", "Write it in %[2]s, or both: 25 mm (1 in).",
		"Two units of one quantity are taken one for the other. Told are figures in the system of units that is not the handbook's (`units`), without the same in its own beside it; and in a step those of its reading's quantity in another unit than is typed there. Times are not.")
	LimitVague = define(Advice, "limit-vague",
		"`%[1]s` stands for a limit that `%[2]s` gives in figures", "Write <spec:%[2]s>, or say what is seen.",
		"What is normal to one technician is worn to another. In a step whose reading has its limits, words such as normal, proper or OK leave open what they mean.")
	ValueTyped = define(Advice, "value-typed",
		"`%[1]s` is what the specification `%[2]s` holds", "Write <spec:%[2]s>; or allow it, if it is another value that happens to be the same.",
		"A figure that is typed stays as it is when its specification is changed, and is right for one model only.")
)

// Terms.
var (
	TermAvoided = define(Advice, "term-avoided",
		"`%[1]s` stands where the glossary has `%[2]s`", "Write `%[2]s`; or allow it, if another thing is meant.",
		"One thing has one name on all pages, else a technician looks for two. Told are the words of `instead-of` in the glossary of handbook.yaml, also in the plural and in English tenses, once a page.")
	GlossaryUnshown = define(Advice, "glossary-unshown",
		"no page in `%[1]s` shows the glossary", "Put a `glossary` block on a page of theory.",
		"The glossary tells readers what the handbook's words mean. A `glossary` block prints the terms of its page's language.")
)

// What nobody is led to.
var (
	PageUnlinked = define(Off, "page-unlinked",
		"no page leads here", "Link to it where a reader needs it; or allow it, if it is looked up by its name.",
		"Who stands at a machine comes to a page from the step that needs it. This is told of sheets of theory and of reference, in a handbook whose pages lead to one another.")
	StateUnserved = define(Advice, "state-unserved",
		"no procedure takes up the engine state `%[1]s`", "Write the procedure of a complaint that shows in it, name it in a step, or take it out.",
		"The finder leads from an engine state to the complaints that show in it. With a state that no procedure and no step names it leads nowhere.")
	ModelUnserved = define(Advice, "model-unserved",
		"no procedure holds for the model `%[1]s`", "Add it to the `applicability` of those that hold for it, or take it out.",
		"A technician with this model finds no procedure at all.")
)
