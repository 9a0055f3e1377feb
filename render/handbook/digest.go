package handbook

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"reflect"
	"slices"
	"strconv"
)

// digest is the digest of a value, with all that it points to.
func digest(value any) string {
	sum := sha256.Sum256(spell(make([]byte, 0, 1<<10), reflect.ValueOf(value)))
	return hex.EncodeToString(sum[:16])
}

// spell appends a value so that no two are written alike.
func spell(b []byte, v reflect.Value) []byte {
	switch v.Kind() {
	case reflect.Invalid:
		return append(b, "none;"...)
	case reflect.Pointer, reflect.Interface:
		return spell(b, v.Elem())
	case reflect.Struct:
		for i := range v.NumField() {
			b = spell(b, v.Field(i))
		}
	case reflect.Slice, reflect.Array:
		b = append(strconv.AppendInt(b, int64(v.Len()), 10), ':')
		for i := range v.Len() {
			b = spell(b, v.Index(i))
		}
	case reflect.Map:
		b = append(strconv.AppendInt(b, int64(v.Len()), 10), ':')
		keys := v.MapKeys()
		slices.SortFunc(keys, func(a, b reflect.Value) int { return cmp.Compare(fmt.Sprint(a), fmt.Sprint(b)) })
		for _, key := range keys {
			b = spell(spell(b, key), v.MapIndex(key))
		}
	case reflect.String:
		b = append(strconv.AppendQuote(b, v.String()), ';')
	case reflect.Bool:
		b = append(strconv.AppendBool(b, v.Bool()), ';')
	default:
		b = fmt.Appendf(b, "%v;", v)
	}
	return b
}
