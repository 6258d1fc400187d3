package api_test

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"math/big"
	"net/http"
	"net/http/httptest"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/api"
	"squaremark/api/platform"
)

// fixedCaller lets everyone in as one caller: the fuzz target is about bodies.
type fixedCaller struct{ issuer string }

func (f fixedCaller) Verify(context.Context, string) (*platform.Caller, *platform.Refusal) {
	return &platform.Caller{Issuer: f.issuer, Subject: "circle-courses", Scopes: []string{"submit"}}, nil
}

// careful delivers nothing, and notes a score or an event that could not have been sent.
type careful struct{ fault error }

func (s *careful) PostScore(_ context.Context, _ *platform.Registration, _ string, score platform.Score) (platform.Outcome, error) {
	_, s.fault = score.MarshalJSON()
	return platform.Outcome{State: platform.Delivered, Status: 200, Attempts: 1, Reason: "taken"}, nil
}

func (s *careful) PostWebhook(_ context.Context, _ *platform.Webhook, event platform.Event) (platform.Outcome, error) {
	_, s.fault = json.Marshal(event.Data)
	return platform.Outcome{State: platform.Delivered, Status: 200, Attempts: 1, Reason: "taken"}, nil
}

// FuzzSubmission sends any body: the answer is 200, 400, 403, 413 or 422, always fits the contract, and the service
// never makes a mistake of its own.
func FuzzSubmission(f *testing.F) {
	document, err := loadContract()
	require.NoError(f, err)
	content := document.Paths.Find("/v1/submissions").Post.RequestBody.Value.Content.Get("application/json")
	for _, example := range content.Examples {
		raw, err := json.Marshal(example.Value.Value)
		require.NoError(f, err)
		f.Add(raw)
	}
	f.Add([]byte(`{"rubric":{"quiz":"garden-plots"},"pupil":"p-07c2","target":{"webhook":"evening-circle"},"submittedAt":"2026-03-05T18:42:10Z","answers":{"hedge":[{"text":"(a-3)^2 >= 0","link":"<=>"}]}}`))
	f.Add([]byte(`{"rubric":{"quiz":"garden-plots"},"answers":{"fence":7},"x":1e9}`))
	f.Add([]byte(`{"pupil":"a","pup\u0069l":"\ud800"}`))
	f.Add([]byte("[[[[[[[[[[[["))
	keys, err := serviceKeys()
	require.NoError(f, err)
	secret, err := platform.ParseSecret("whsec_Z2FyZGVuLXBsb3RzLWFuZC1zcXVhcmVzLWFsbC1ldmVuaW5n")
	require.NoError(f, err)
	registration := &platform.Registration{
		Issuer: "https://circle.example", ClientID: "client-circle", TokenURL: "https://circle.example/token",
		TokenAudience: "https://circle.example/token", LineItemOrigins: []string{"https://circle.example"}, Keys: keys,
	}
	hook := &platform.Webhook{Name: hookName, URL: "https://circle.example/hooks", Secrets: []platform.Secret{secret}}
	rubrics := compiled()
	sender := &careful{}
	server, err := api.New(api.Config{
		Rubrics: rubrics, Verifier: fixedCaller{registration.Issuer}, Sender: sender,
		Platforms: []api.Platform{{Registration: registration, Webhooks: []*platform.Webhook{hook}}},
		Limits:    api.Limits{PerSecond: 1e9, Burst: 1e9},
	})
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, body []byte) {
		request := httptest.NewRequest(http.MethodPost, "/v1/submissions", bytes.NewReader(body))
		request.Header.Set("Authorization", "Bearer x")
		request.Header.Set("Content-Type", "application/json")
		recorder := httptest.NewRecorder()
		server.ServeHTTP(recorder, request)
		answer := recorder.Result()
		text, err := io.ReadAll(answer.Body)
		require.NoError(t, err)
		if !slices.Contains([]int{200, 400, 403, 413, 422}, answer.StatusCode) {
			t.Fatalf("%d %s", answer.StatusCode, text)
		}
		checkAnswer(t, request, answer, text)
		require.NoError(t, sender.fault)
		if answer.StatusCode == 200 {
			var marked struct{ Marks, Total string }
			require.NoError(t, json.Unmarshal(text, &marked))
			for _, number := range []string{marked.Marks, marked.Total} {
				_, ok := new(big.Rat).SetString(number)
				require.True(t, ok)
			}
		}
	})
}

// FuzzBatch sends any lines: there is one reply a line, in order, each with a result or a problem.
func FuzzBatch(f *testing.F) {
	f.Add([]byte("{}\n\n[]\r\n" + `{"rubric":{"quiz":"garden-plots"},"pupil":"p-07c2","target":{"lineItem":"https://circle.example/items/7"},"submittedAt":"2026-03-05T18:42:10Z","answers":{"beds":"0"}}`))
	f.Add([]byte("\n\n"))
	f.Add([]byte("\xff\n{\"pupil\":\n}"))
	keys, err := serviceKeys()
	require.NoError(f, err)
	registration := &platform.Registration{
		Issuer: "https://circle.example", ClientID: "client-circle", TokenURL: "https://circle.example/token",
		TokenAudience: "https://circle.example/token", LineItemOrigins: []string{"https://circle.example"}, Keys: keys,
	}
	server, err := api.New(api.Config{
		Rubrics: api.OpenRubrics("testdata/rubrics", fullMarks, nil), Verifier: fixedCaller{registration.Issuer}, Sender: &careful{},
		Platforms: []api.Platform{{Registration: registration}},
		Limits:    api.Limits{PerSecond: 1e9, Burst: 1e9, BatchLines: 50, BodyBytes: 4096},
	})
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, body []byte) {
		request := httptest.NewRequest(http.MethodPost, "/v1/submissions/batch", bytes.NewReader(body))
		request.Header.Set("Authorization", "Bearer x")
		request.Header.Set("Content-Type", "application/jsonl")
		recorder := httptest.NewRecorder()
		server.ServeHTTP(recorder, request)
		want := bytes.Count(body, []byte("\n"))
		if len(body) > 0 && body[len(body)-1] != '\n' {
			want++
		}
		replies := bytes.SplitAfter(recorder.Body.Bytes(), []byte("\n"))
		replies = replies[:len(replies)-1]
		require.Len(t, replies, min(want, 51))
		for i, text := range replies {
			require.Equal(t, i+1, readReply(t, text).Line)
		}
	})
}
