package api

// parties are what a server knows about the platforms that may call, at one time. They are never changed.
type parties struct {
	partners partners
	verifier Verifier
	keys     []byte // the public key set
}

func newParties(platforms []Platform, verifier Verifier) (*parties, error) {
	all, err := newPartners(platforms)
	if err != nil {
		return nil, err
	}
	keys, err := publicKeys(platforms)
	if err != nil {
		return nil, err
	}
	return &parties{all, verifier, keys}, nil
}

// Renew exchanges the platforms and the verifier of their tokens while the server serves. Requests in hand end with
// what they began with.
//
// Errors: as for New; then everything stays as it was.
func (s *Server) Renew(platforms []Platform, verifier Verifier) error {
	changed := Config{Rubrics: s.rubrics, Verifier: verifier, Sender: s.sender, LineItems: s.lineItems, Platforms: platforms}
	if err := changed.check(); err != nil {
		return err
	}
	next, err := newParties(platforms, verifier)
	if err != nil {
		return err
	}
	s.parties.Store(next)
	return nil
}
