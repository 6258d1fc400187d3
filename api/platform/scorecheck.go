package platform

import (
	"errors"
	"fmt"
	"net/url"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

const (
	// MaxComment is the longest comment, in characters (Unicode code points).
	MaxComment = 2000
	// maxUserID is the longest user id, in octets. Source: 1EdTech Security Framework 1.0, section 5.1.2.
	maxUserID = 255
	// maxExtensions and maxExtensionBytes bound further members.
	maxExtensions     = 16
	maxExtensionBytes = 16 << 10
)

// Validate checks every rule of a score message.
//
// Errors: name the member and the rule, never a value. Source: LTI Assignment and Grade Services 2.0, sections 3.1.2
// and 3.4.4 to 3.4.11.
func (s *Score) Validate() error {
	if err := checkUser("userId", s.UserID); err != nil {
		return err
	}
	if s.ScoringUserID != "" {
		if err := checkUser("scoringUserId", s.ScoringUserID); err != nil {
			return err
		}
	}
	if err := s.checkNumbers(); err != nil {
		return err
	}
	switch s.ActivityProgress {
	case ActivityInitialized, ActivityStarted, ActivityInProgress, ActivitySubmitted, ActivityCompleted:
	default:
		return errors.New("score: activityProgress is missing or not one of the five values")
	}
	switch s.GradingProgress {
	case GradingNotReady, GradingFailed, GradingPending, GradingPendingManual, GradingFullyGraded:
	default:
		return errors.New("score: gradingProgress is missing or not one of the five values")
	}
	if s.Timestamp.IsZero() {
		return errors.New("score: timestamp is missing")
	}
	if err := s.checkTimes(); err != nil {
		return err
	}
	if err := checkComment(s.Comment); err != nil {
		return err
	}
	return s.checkExtensions()
}

func checkUser(name, id string) error {
	switch {
	case strings.TrimSpace(id) == "":
		return fmt.Errorf("score: %s is missing or blank", name)
	case len(id) > maxUserID:
		return fmt.Errorf("score: %s is longer than %d octets", name, maxUserID)
	case !utf8.ValidString(id) || strings.ContainsFunc(id, unicode.IsControl):
		return fmt.Errorf("score: %s holds control characters or is not UTF-8", name)
	}
	return nil
}

func (s *Score) checkNumbers() error {
	if s.ScoreMaximum != nil && s.ScoreMaximum.Sign() <= 0 {
		return errors.New("score: scoreMaximum must be above zero")
	}
	if s.ScoreGiven != nil {
		if s.ScoreMaximum == nil {
			return errors.New("score: scoreGiven needs scoreMaximum")
		}
		if s.ScoreGiven.Sign() < 0 {
			return errors.New("score: scoreGiven must not be negative")
		}
	}
	_, _, err := exactPair(s.ScoreGiven, s.ScoreMaximum)
	return err
}

func (s *Score) checkTimes() error {
	for _, at := range []time.Time{s.Timestamp, s.Submission.StartedAt, s.Submission.SubmittedAt} {
		if year := at.UTC().Year(); year < 1 || year > 9999 {
			return errors.New("score: a time lies outside the years 1 to 9999")
		}
	}
	started, submitted := s.Submission.StartedAt, s.Submission.SubmittedAt
	if !started.IsZero() && !submitted.IsZero() && submitted.Before(started) {
		return errors.New("score: submittedAt lies before startedAt")
	}
	return nil
}

func checkComment(text string) error {
	switch {
	case utf8.RuneCountInString(text) > MaxComment:
		return fmt.Errorf("score: the comment is longer than %d characters", MaxComment)
	case !utf8.ValidString(text) || strings.ContainsFunc(text, unicode.IsControl):
		return errors.New("score: the comment holds control characters or is not UTF-8")
	}
	return nil
}

func (s *Score) checkExtensions() error {
	if len(s.Extensions) > maxExtensions {
		return fmt.Errorf("score: more than %d further members", maxExtensions)
	}
	for name, value := range s.Extensions {
		if !fullURL(name) {
			return errors.New("score: a further member must have a full URL as its name")
		}
		if len(value) > maxExtensionBytes {
			return fmt.Errorf("score: a further member is longer than %d octets", maxExtensionBytes)
		}
		if !strictValue(value) {
			return errors.New("score: the value of a further member is not JSON")
		}
	}
	return nil
}

func fullURL(name string) bool {
	u, err := url.Parse(name)
	return err == nil && len(name) <= maxURL && (u.Scheme == "https" || u.Scheme == "http") && u.Host != ""
}

// PlainComment makes a comment out of any text: one line, control and invisible format characters gone, runs of white
// space one space, cut to [MaxComment] characters with an ellipsis. Markup stays as the characters it is made of.
func PlainComment(text string) string {
	clean := strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r) || unicode.IsControl(r):
			return ' '
		case r == utf8.RuneError || unicode.Is(unicode.Cf, r):
			return -1
		}
		return r
	}, text)
	clean = strings.Join(strings.Fields(clean), " ")
	if utf8.RuneCountInString(clean) <= MaxComment {
		return clean
	}
	return string([]rune(clean)[:MaxComment-1]) + "…"
}
