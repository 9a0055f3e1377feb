package remark

// Translations.
var (
	TranslationDiffers = define(Error, "translation-differs",
		"the page is not that of its source: %[1]s (%[2]s)", "Make it what the source has.",
		"Steps, ids, causes, settings, where answers lead and the figures of calculators, plots and readings are the same in every language; only words differ. Else one technician repairs another machine.")
	TranslationStale = define(Warning, "translation-stale",
		"the source was changed since this was translated; %[1]s says now: %[2]s", "Translate it, then record the page by `benchleaf translated`; what is to stay is allowed by `allow translation-stale-%[3]s: why`.",
		"The block was made from an older text. A reader is told so there, and is shown the limits and cautions of the source.")
	TranslationValues = define(Warning, "translation-values",
		"this has %[1]s where its source has %[2]s (%[3]s)", "Write what the source has, or change it there.",
		"The block is as new as its source, and what it shows by name, `spec:`, `part:` or `calculator:`, or a figure with its unit is another one there. One of the two is wrong. Where a language writes a figure as a word, figures are not held against each other.")
	TranslationMissing = define(Warning, "translation-missing",
		"a block of the source is not here; %[1]s says: %[2]s", "Translate it here, then record the page by `benchleaf translated`; what is to be left out is allowed by `allow translation-missing-%[3]s: why`.",
		"The source has a block for which the translation has none. A reader is shown it in the language of the source.")
	TranslationExtra = define(Warning, "translation-extra",
		"no block of %[1]s is like this one", "Take it out, or write it in the source too; then record the page by `benchleaf translated`. What is to stay is allowed by `allow translation-extra-%[2]s: why`.",
		"What the source does not say was either taken out there since, or is known to readers of one language only.")
	TranslationCount = define(Warning, "translation-count",
		"the section `%[1]s` has blocks: %[2]s; `translated` has digests: %[3]s", "Look at the section, then record it by `benchleaf translated %[4]s`.",
		"In `translated` each block of a section has the digest of what it was made from. With another number of them nobody knows what belongs to what, and all blocks of the section count as older than their source.")
	TranslationUnrecorded = define(Advice, "translation-unrecorded",
		"nothing says from which state of its source this was translated: %[1]s", "Hold it against its source, then record it by `benchleaf translated %[2]s`.",
		"With digests of the source in its front matter a translation can be told from one that is older than its source. Without them a reader is told that it may be, and is shown the cautions of the source. Where several pages lack them, all are told at their language in handbook.yaml.")
	TranslationPage = define(Warning, "translation-page",
		"there is no such page in `%[1]s`", "Write it there, or take this one out.",
		"The same path in the folder of each language is the same page. This one has no source.")
	WordsMissing = define(Advice, "words-missing",
		"in `%[1]s` words are missing: %[2]s", "Write them beside those of the other languages.",
		"A name or a text of the data has words in some languages, and a reader of this one is shown those of another. A text that is given without a language holds for all of them. Whether such words are older than those of the source language is not followed.")
	PageUntranslated = define(Advice, "page-untranslated",
		"in `%[1]s` pages are missing: %[2]s", "Begin one by `benchleaf begin translation %[3]s -language %[1]s`.",
		"Links to a page that is not there in a language lead to it in the language of the source, and say so.")
)

// OfBlocks tells whether remarks of a kind are each about one block, which an allowance names: another block, or
// that one with other words, is another decision.
func OfBlocks(id string) bool {
	return id == TranslationStale.ID || id == TranslationMissing.ID || id == TranslationExtra.ID
}
