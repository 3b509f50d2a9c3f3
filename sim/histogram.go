package sim

// histogram counts waits in equal bins, so that quantiles of any number of
// draws cost the same memory, and adding two is exact in any order.
type histogram struct {
	counts [waitBins + 1]uint32 // the last one is for all that is longer
	total  uint64
}

const (
	waitBin  = 0.25 // [s]
	waitBins = 2400 // to ten minutes
)

func (h *histogram) add(wait float64) {
	h.counts[min(int(wait/waitBin), waitBins)]++
	h.total++
}

func (h *histogram) merge(o *histogram) {
	for i, c := range o.counts {
		h.counts[i] += c
	}
	h.total += o.total
}

// quantile is the wait that a share q of draws do not exceed [s], to within
// half a bin; 0 of none. Draws that need not wait at all count as 0 s.
func (h *histogram) quantile(q float64) float64 {
	need := q * float64(h.total)
	below := 0.0
	for i, c := range h.counts {
		if c > 0 && below+float64(c) >= need {
			if i == 0 {
				return 0
			}
			return (float64(i) + (need-below)/float64(c)) * waitBin
		}
		below += float64(c)
	}
	return 0
}

// seconds counts the waits by whole seconds, as far as there are any.
func (h *histogram) seconds() []int {
	const bins = int(1 / waitBin)
	counts := make([]int, waitBins/bins+1)
	end := 0
	for i, c := range h.counts {
		if c > 0 {
			counts[i/bins] += int(c)
			end = i/bins + 1
		}
	}
	return counts[:end]
}
