package pipework

func exchange2(s *transfer, t0, t1 []float64, before, beyond float64) float64 {
	m00, m01, m10, m11 := s.m[0][0], s.m[0][1], s.m[1][0], s.m[1][1]
	o0, o1 := s.offset[0], s.offset[1]
	last := len(t0) - 1
	t1 = t1[:len(t0)]
	sum0 := -before*t0[0] - beyond*t0[last]
	sum1 := -before*t1[0] - beyond*t1[last]
	for i, a := range t0 {
		b := t1[i]
		sum0 += a
		sum1 += b
		t0[i] = m00*a + m01*b + o0
		t1[i] = m10*a + m11*b + o1
	}
	above := (float64(len(t0)) - before - beyond) * s.ambient
	return s.lost[0]*(sum0-above) + s.lost[1]*(sum1-above)
}

func exchange5(s *transfer, t0, t1, t2, t3, t4 []float64, before, beyond float64) float64 {
	m, o := &s.m, &s.offset
	last := len(t0) - 1
	t1, t2, t3, t4 = t1[:len(t0)], t2[:len(t0)], t3[:len(t0)], t4[:len(t0)]
	sum0 := -before*t0[0] - beyond*t0[last]
	sum1 := -before*t1[0] - beyond*t1[last]
	sum2 := -before*t2[0] - beyond*t2[last]
	sum3 := -before*t3[0] - beyond*t3[last]
	sum4 := -before*t4[0] - beyond*t4[last]
	for i, a := range t0 {
		b, c, d, e := t1[i], t2[i], t3[i], t4[i]
		sum0 += a
		sum1 += b
		sum2 += c
		sum3 += d
		sum4 += e
		t0[i] = m[0][0]*a + m[0][1]*b + m[0][2]*c + m[0][3]*d + m[0][4]*e + o[0]
		t1[i] = m[1][0]*a + m[1][1]*b + m[1][2]*c + m[1][3]*d + m[1][4]*e + o[1]
		t2[i] = m[2][0]*a + m[2][1]*b + m[2][2]*c + m[2][3]*d + m[2][4]*e + o[2]
		t3[i] = m[3][0]*a + m[3][1]*b + m[3][2]*c + m[3][3]*d + m[3][4]*e + o[3]
		t4[i] = m[4][0]*a + m[4][1]*b + m[4][2]*c + m[4][3]*d + m[4][4]*e + o[4]
	}
	above := (float64(len(t0)) - before - beyond) * s.ambient
	return s.lost[0]*(sum0-above) + s.lost[1]*(sum1-above) + s.lost[2]*(sum2-above) + s.lost[3]*(sum3-above) + s.lost[4]*(sum4-above)
}
