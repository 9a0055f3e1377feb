package handbook

import (
	"cmp"
	"crypto/sha256"
	"fmt"
	"io"
	"reflect"
	"slices"
)

// digest is the digest of a value, with all that it points to.
func digest(value any) string {
	h := sha256.New()
	spell(h, reflect.ValueOf(value))
	return fmt.Sprintf("%x", h.Sum(nil)[:16])
}

// spell writes a value so that no two are written alike.
func spell(w io.Writer, v reflect.Value) {
	switch v.Kind() {
	case reflect.Invalid:
		fmt.Fprint(w, "none;")
	case reflect.Pointer, reflect.Interface:
		spell(w, v.Elem())
	case reflect.Struct:
		for i := range v.NumField() {
			spell(w, v.Field(i))
		}
	case reflect.Slice, reflect.Array:
		fmt.Fprintf(w, "%d:", v.Len())
		for i := range v.Len() {
			spell(w, v.Index(i))
		}
	case reflect.Map:
		fmt.Fprintf(w, "%d:", v.Len())
		keys := v.MapKeys()
		slices.SortFunc(keys, func(a, b reflect.Value) int { return cmp.Compare(fmt.Sprint(a), fmt.Sprint(b)) })
		for _, key := range keys {
			spell(w, key)
			spell(w, v.MapIndex(key))
		}
	case reflect.String:
		fmt.Fprintf(w, "%q;", v.String())
	default:
		fmt.Fprintf(w, "%v;", v)
	}
}
