package sim

// exchange lets water and wall exchange heat for one shift, in the cells from
// the k-th on, and returns the heat lost. One case for each number of nodes
// keeps the matrix in registers; they differ in nothing else.
func (p *pipe) exchange(k int) float64 {
	switch p.nodes {
	case 2:
		return exchange2(&p.step, p.temp[0][k:], p.temp[1][k:])
	case 3:
		return exchange3(&p.step, p.temp[0][k:], p.temp[1][k:], p.temp[2][k:])
	default:
		return exchange4(&p.step, p.temp[0][k:], p.temp[1][k:], p.temp[2][k:], p.temp[3][k:])
	}
}

func exchange2(s *step, t0, t1 []float64) float64 {
	m00, m01, m10, m11 := s.m[0][0], s.m[0][1], s.m[1][0], s.m[1][1]
	o0, o1 := s.offset[0], s.offset[1]
	sum0, sum1 := 0.0, 0.0
	t1 = t1[:len(t0)]
	for i, a := range t0 {
		b := t1[i]
		sum0 += a
		sum1 += b
		t0[i] = m00*a + m01*b + o0
		t1[i] = m10*a + m11*b + o1
	}
	above := float64(len(t0)) * s.ambient
	return s.lost[0]*(sum0-above) + s.lost[1]*(sum1-above)
}

func exchange3(s *step, t0, t1, t2 []float64) float64 {
	m := &s.m
	m00, m01, m02 := m[0][0], m[0][1], m[0][2]
	m10, m11, m12 := m[1][0], m[1][1], m[1][2]
	m20, m21, m22 := m[2][0], m[2][1], m[2][2]
	o0, o1, o2 := s.offset[0], s.offset[1], s.offset[2]
	sum0, sum1, sum2 := 0.0, 0.0, 0.0
	t1, t2 = t1[:len(t0)], t2[:len(t0)]
	for i, a := range t0 {
		b, c := t1[i], t2[i]
		sum0 += a
		sum1 += b
		sum2 += c
		t0[i] = m00*a + m01*b + m02*c + o0
		t1[i] = m10*a + m11*b + m12*c + o1
		t2[i] = m20*a + m21*b + m22*c + o2
	}
	above := float64(len(t0)) * s.ambient
	return s.lost[0]*(sum0-above) + s.lost[1]*(sum1-above) + s.lost[2]*(sum2-above)
}

func exchange4(s *step, t0, t1, t2, t3 []float64) float64 {
	m, o := &s.m, &s.offset
	sum0, sum1, sum2, sum3 := 0.0, 0.0, 0.0, 0.0
	t1, t2, t3 = t1[:len(t0)], t2[:len(t0)], t3[:len(t0)]
	for i, a := range t0 {
		b, c, d := t1[i], t2[i], t3[i]
		sum0 += a
		sum1 += b
		sum2 += c
		sum3 += d
		t0[i] = m[0][0]*a + m[0][1]*b + m[0][2]*c + m[0][3]*d + o[0]
		t1[i] = m[1][0]*a + m[1][1]*b + m[1][2]*c + m[1][3]*d + o[1]
		t2[i] = m[2][0]*a + m[2][1]*b + m[2][2]*c + m[2][3]*d + o[2]
		t3[i] = m[3][0]*a + m[3][1]*b + m[3][2]*c + m[3][3]*d + o[3]
	}
	above := float64(len(t0)) * s.ambient
	return s.lost[0]*(sum0-above) + s.lost[1]*(sum1-above) + s.lost[2]*(sum2-above) + s.lost[3]*(sum3-above)
}
