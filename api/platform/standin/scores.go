package standin

import (
	"io"
	"math/big"
	"mime"
	"net/http"

	"squaremark/api/platform"
)

// maxBody bounds every body that is read.
const maxBody = 128 << 10

// serveScore takes one score message.
//
// Source: LTI Assignment and Grade Services 2.0, section 3.4 and its companion OpenAPI (status codes).
func (p *Platform) serveScore(w http.ResponseWriter, r *http.Request) {
	if !p.permit(w, r, platform.ScoreScope) {
		return
	}
	mediaType, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil || mediaType != platform.ScoreMediaType {
		w.WriteHeader(http.StatusUnsupportedMediaType)
		return
	}
	item, known := p.item(r.PathValue("id"))
	if !known {
		w.WriteHeader(http.StatusNotFound)
		return
	}
	body, err := io.ReadAll(io.LimitReader(r.Body, maxBody))
	if err != nil {
		w.WriteHeader(http.StatusBadRequest)
		return
	}
	score, err := platform.ParseScore(body)
	if err != nil {
		w.WriteHeader(http.StatusBadRequest)
		return
	}
	if !p.record(item, score) {
		w.WriteHeader(http.StatusConflict)
		return
	}
	w.WriteHeader(http.StatusNoContent)
}

// record enters a score unless it is stale: not later than what the cell holds. Instants are compared, not their text.
//
// Source: LTI Assignment and Grade Services 2.0, section 3.4.9 (equal instants count as stale by our choice).
func (p *Platform) record(item LineItem, score platform.Score) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	at := cell{item: item.ID, user: score.UserID}
	before, there := p.book[at]
	if there && !score.Timestamp.After(before.Score.Timestamp) {
		return false
	}
	stamps := append(before.Stamps, score.Timestamp)
	p.book[at] = Entry{
		LineItem: item.ID, UserID: score.UserID, Shown: rescale(score, item.Maximum),
		Score: score, Updates: before.Updates + 1, Stamps: stamps[max(0, len(stamps)-maxStamps):],
	}
	return true
}

// rescale turns raw points into points of the line item, exactly; nil when there is no score.
//
// Source: LTI Assignment and Grade Services 2.0, section 3.4.4.
func rescale(score platform.Score, maximum *big.Rat) *big.Rat {
	if score.ScoreGiven == nil {
		return nil
	}
	shown := new(big.Rat).Quo(score.ScoreGiven, score.ScoreMaximum)
	return shown.Mul(shown, maximum)
}
