package render_test

const diesPage = "en/procedures/dies.md"

// repairMistakes are slips in what a procedure says of settings, checks after the
// repair, ends and who may do a step. Each is made alone: a setting that is
// misspelt says nothing of what stands on the machine.
var repairMistakes = []mistake{
	// Keys and values.
	{"handbook.yaml", "settings:", "▸setings:", "key-unknown"},
	{"handbook.yaml", "restore: Put the fuse back.", "▸restores: Put the fuse back.", "key-unknown"},
	{"handbook.yaml", ", restore: Put the fuse back.", "", "handbook.yaml:12:3 key-missing"},
	{"handbook.yaml", "states: [cranking]}", "states: [▸crank]}", "reference-unknown"},
	{"handbook.yaml", "  fuse-out:", "  ▸fuse_out:", "value-text"},
	{diesPage, "requires: [fuse-out]", "▸require: [fuse-out]", "key-unknown"},
	{diesPage, "restores: [fuse-out]\n", "▸restore: [fuse-out]\n", "key-unknown"},
	{diesPage, "sets: [lead-off]", "sets: [▸lead-of]", "reference-unknown"},
	{diesPage, "sets: [lead-off]", "sets: [▸choke-off]", "reference-unknown"},
	{diesPage, "sets: [lead-off]", "sets: [lead-off, ▸lead-off]", "id-duplicate"},
	{diesPage, "requires: [lead-off]", "▸requires:", "value-empty"},
	{diesPage, "restores: [fuse-out], who", "restores: [▸fuse], who", "reference-unknown"},
	{diesPage, "who: operator", "who: ▸customer", "value-choice"},
	{diesPage, "who: electrician", "who: ▸electrican", "value-choice"},
	{diesPage, "emissions: yes", "emissions: ▸perhaps", "value-choice"},
	{diesPage, "emissions: no", "emissions: ▸none", "value-choice"},
	{diesPage, "verification: dry", "verification: ▸dri", "reference-unknown"},
	{diesPage, "verification: dry", "verification: ▸wash", "reference-unknown"},
	{diesPage, "verification: dry", "▸verifcation: dry", "key-unknown"},
	{diesPage, "verification: yes\nforbids", "verification: ▸always\nforbids", "value-choice"},
	{diesPage, "verification: yes\nforbids", "▸verfication: yes\nforbids", "key-unknown"},
	{diesPage, "ends:", "▸end:", "key-unknown"},
	{diesPage, "  hand-over:\n", "  ▸handover:\n", "key-unknown"},
	{diesPage, "log: [The load]", "▸logs: [The load]", "key-unknown"},
	{diesPage, "[the fuse](#fuse)", "▸[the fuse](#fuze)", "link-nowhere"},
	{diesPage, "[It runs on](end:repaired)", "▸[It runs on](end:repared)", "reference-unknown"},
	// Settings on some way: what is forgotten, and what is too much.
	{diesPage, "sets: [fuse-out]\n", "\n", "en/procedures/dies.md:45:12 setting-missing"},
	{diesPage, "requires: [fuse-out]", "requires: [fuse-out, ▸lead-off]", "setting-missing"},
	{diesPage, "forbids: [lead-off]\nrestores", "forbids: [lead-off, ▸fuse-out]\nrestores", "setting-forbidden"},
	{diesPage, "restores: [fuse-out], who", "who", "en/procedures/dies.md:7:3 setting-left"},
	{diesPage, "    restores: [lead-off]\n    emissions", "\n    emissions", "en/procedures/dies.md:8:3 setting-left"},
	{diesPage, "restores: [lead-off], verification: no", "verification: no", "en/procedures/dies.md:14:3 setting-left"},
	{diesPage, "    restores: [lead-off]\n  not", "\n  not", "en/procedures/dies.md:16:3 setting-left"},
	{diesPage, "restores: [fuse-out]\nsets", "\nsets", "en/procedures/dies.md:33:8 setting-left"},
	{diesPage, "[The load], again", "[The load], restores: ▸fuse-out, again", "setting-idle"},
	{diesPage, "requires: [lead-off]", "sets: [▸lead-off]", "setting-twice"},
	{diesPage, "requires: [lead-off]", "state: loaded", "en/procedures/dies.md:57:1 setting-state"},
	{"handbook.yaml", "states: [cranking]}", "states: [loaded]}", "en/procedures/dies.md:48:8 setting-state"},
	// Answers that lead elsewhere than they were meant to.
	{diesPage, "[Whole](#plug)", "▸[Whole](#tank)", "setting-missing"},
	{diesPage, "[It dies](#fuse)", "▸[It dies](#plug)", "setting-missing"},
	{diesPage, "[Dry](#tank)", "▸[Dry](#fuse)", "step-repeated"},
	{diesPage, "[Dry](#tank)", "▸[Dry](cause:fuse)", "setting-left"},
	{diesPage, "[It runs on](end:not-reproduced)", "▸[It runs on](#tank)", "setting-missing"},
	// Checks after the repair and ends.
	{diesPage, "[Clean](end:hand-over)", "▸[Clean](end:repaired)", "repaired-early"},
	{diesPage, "[Burnt](cause:fuse)\n", "[Burnt](cause:fuse)\n- ▸[Odd](#again)\n", "check-early"},
	{diesPage, "verification: dry", "verification: ▸plug", "check-unfit"},
	{diesPage, "[It runs on](end:repaired)", "[It runs on](end:hand-over)", "en/procedures/dies.md:81:1 repaired-never"},
	{diesPage, "state: loaded\nverification: yes\n```\n\n```answers\n- [It runs on](#again)", "state: loaded\n```\n\n```answers\n- [It runs on](#again)", "en/procedures/dies.md:13:19 check-unfit"},
	{diesPage, "verification: dry", "verification: no", "en/procedures/dies.md:81:1 step-unreached"},
	{diesPage, "verification: dry\n", "verification: again\n", "en/procedures/dies.md:81:1 step-unreached"},
	{diesPage, "[It runs on](end:not-reproduced)", "[It runs on](end:hand-over)", "en/procedures/dies.md:22:1 complaint-unconfirmed"},
	{diesPage, ", again: With the pump at rated load", "", "en/procedures/dies.md:19:3 end-unlogged"},
	{diesPage, "state: loaded\nverification: yes\nforbids", "state: cranking\nverification: yes\nforbids", "en/procedures/dies.md:22:1 state-unclear"},
}
