package sim

// histogram counts waits in equal bins, as many as the longest wait needs, so that
// quantiles of any number of draws cost the same memory, and adding two is exact in
// any order.
type histogram struct {
	counts []uint32 // of 0 to 1 bin, 1 to 2 bins and so on; the last is not 0
	total  uint64
}

const waitBin = 0.25 // [s]

func (h *histogram) add(wait float64) {
	bin := int(wait / waitBin)
	h.reach(bin + 1)
	h.counts[bin]++
	h.total++
}

func (h *histogram) merge(o *histogram) {
	h.reach(len(o.counts))
	for i, c := range o.counts {
		h.counts[i] += c
	}
	h.total += o.total
}

// reach makes room for a number of bins.
func (h *histogram) reach(bins int) {
	if more := bins - len(h.counts); more > 0 {
		h.counts = append(h.counts, make([]uint32, more)...)
	}
}

// quantile is the wait that a share q of draws do not exceed [s], to within a bin;
// 0 of none. Draws that need not wait at all count as 0 s.
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
	counts := make([]int, (len(h.counts)+bins-1)/bins)
	for i, c := range h.counts {
		counts[i/bins] += int(c)
	}
	return counts
}
