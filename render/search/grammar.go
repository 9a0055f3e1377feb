package search

import "strings"

// grammar are the words of a language that name nothing: they are neither indexed
// nor searched for, and none is ever missing. What tells states apart in the trade
// (off, out, up, after, without) and what stands for a terminal (A) is no such word.
var grammar = map[string]string{
	"en": `the an and or but if then than as of to at by for from with in into on onto is are am was were be been being
		i im ive you youre he she it its we they them their me my your our us this that thats these those there theres
		when while where what whats which how why do does doing did has have had having will would can could should may might
		just so very many much really get gets getting got keep keeps want wants try tries trying any some please`,
	"es": `el la las lo los un una unos unas y e o u de del al en con por que cuando mientras donde como es son era esta estan
		este esto esa eso hay ha han he mi mis su sus me te se le les nos si ya muy mas pero porque tan quiere cual cuanto cuanta lleva hace`,
}

// negations are the words that deny, as they are typed: with the verb's beginning
// and without its apostrophe. All of them are searched as the first.
var negations = map[string]string{
	"en": `not no cannot cant wont dont doesnt didnt isnt arent wasnt wouldnt couldnt hasnt havent aint`,
}

// listed makes a set of words, which are folded already.
func listed(words string) map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields(words) {
		m[w] = true
	}
	return m
}

// termOf is a folded word as the index has it.
func (l *language) termOf(word string) string {
	if l.not[word] {
		return strings.Fields(negations[l.tag])[0]
	}
	return l.stem(word)
}

// isApostrophe tells whether a character is left out within a word: won't is typed
// as wont, and who owns something is no word of its own. Other languages put it
// between two words.
func (l *language) isApostrophe(c rune) bool { return (c == '\'' || c == '’') && l.tag == "en" }
