// Package even finds how much of a text can stay as it is where blanks are put in order: nearly all of what authors write, so that
// it looks at eight bytes at once.
//
// In: texts. Out: lengths. It imports nothing of the project.
package even

import "math/bits"

// Length is how much of a text is characters of ASCII that print, and blanks between which one of those stands. blank tells whether a
// blank stands before it.
func Length[T string | []byte](text T, blank bool) (n int) {
	const ones, high = 0x0101010101010101, 0x8080808080808080
	before := uint64(0) // 0x80 where a blank stands before
	if blank {
		before = 0x80
	}
	for ; n+8 <= len(text); n += 8 {
		t := text[n : n+8]
		x := uint64(t[0]) | uint64(t[1])<<8 | uint64(t[2])<<16 | uint64(t[3])<<24 | uint64(t[4])<<32 | uint64(t[5])<<40 | uint64(t[6])<<48 | uint64(t[7])<<56
		// The high bit of each byte: what is no character of ASCII, or less than a blank; and a blank, since nothing but
		// zero has no bit in its lower seven that the sum carries up. Above the first that is less, it may be set in vain.
		odd := (x | (x - ' '*ones)) & high
		apart := x ^ ' '*ones
		blanks := ^((apart&^high + ^uint64(high)) | apart) & high
		if odd |= blanks & (blanks<<8 | before); odd != 0 {
			return n + bits.TrailingZeros64(odd)/8
		}
		before = blanks >> 56
	}
	for ; n < len(text); n++ {
		c := text[n]
		if c < ' ' || c >= 0x80 || c == ' ' && before != 0 {
			return n
		}
		before = 0
		if c == ' ' {
			before = 0x80
		}
	}
	return n
}
