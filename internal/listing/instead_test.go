package listing

import (
	"strings"
	"testing"
)

// TestValuesUnderAnotherKey: a row whose value stands under another key is put aside, and the key is named.
func TestValuesUnderAnotherKey(t *testing.T) {
	for name, text := range map[string]string{
		"a.json":  `[{"point":"1.001","date":"2025-09-16","value":31},{"point":"1.002","date":"2025-09-16","val":29},{"point":"1.003","date":"2025-09-16","value":33}]`,
		"b.jsonl": `{"point":"1.001","date":"2025-09-16","wert":31}` + "\n" + `{"point":"1.002","date":"2025-09-16","val":29}` + "\n" + `{"point":"1.003","date":"2025-09-16","wert":33}`,
	} {
		table := openBytes(t, name, []byte(text)).All()[0]
		u, err := Understand(table, Profile{})
		must(t, err)
		read, named := 0, false
		for _, bad := range u.Records(table) {
			if bad == nil {
				read++
			} else {
				named = named || strings.Contains(bad.Error(), `"val"`)
			}
		}
		if read != 2 || !named {
			t.Errorf("%s: %d read, named %v, %+v %+v", name, read, named, u.Skipped, u.Questions)
		}
	}
}
