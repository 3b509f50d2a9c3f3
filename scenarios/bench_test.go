package scenarios

import "testing"

func BenchmarkParse(b *testing.B) {
	b.ReportAllocs()
	for range b.N {
		if _, err := LoadEmbedded("courtyard"); err != nil {
			b.Fatal(err)
		}
	}
}
