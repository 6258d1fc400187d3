package syntax

// product prints a product without a sign where it was written so and reads
// back the same, and with * elsewhere.
func (w *plainWriter) product(n *Node) {
	w.kid(n, 0)
	at := len(w.b)
	w.kid(n, 1)
	sep := "*"
	if n.Implicit && n.Kids[0].Kind != Div {
		sep = between(w.b[:at], w.b[at:])
	}
	if sep != "" {
		w.b = append(w.b, sep...)
		copy(w.b[at+len(sep):], w.b[at:])
		copy(w.b[at:], sep)
	}
}

// between is what must stand between two factors so that they read as a
// product: nothing, a space, or the sign.
func between(left, right []byte) string {
	r := right[0]
	if isDigit(r) {
		return "*"
	}
	if !isLetter(r) || !isLetter(left[len(left)-1]) {
		return ""
	}
	from, to := len(left), 0
	for from > 0 && isLetter(left[from-1]) {
		from--
	}
	for to < len(right) && isLetter(right[to]) {
		to++
	}
	run := string(left[from:])
	after := from > 0 && (left[from-1] == '_' || left[from-1] == '^')
	joined := run + string(right[:to])
	if after || to > 1 || len(joined) > 3 || isWord(run) || isWord(joined) {
		return " "
	}
	return ""
}

// isWord reports a run of letters that is not a product of single letters.
func isWord(run string) bool {
	_, _, ok := wordToken(run)
	return len(run) > 1 && (ok || endsInFunction(run) > 0)
}
