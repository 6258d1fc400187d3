package service

import (
	"fmt"

	"go.uber.org/zap"
	"go.uber.org/zap/zapcore"
)

// Logger writes one JSON object a line to standard output.
func Logger(level string) (*zap.Logger, error) {
	at, err := zapcore.ParseLevel(level)
	if err != nil {
		return nil, fmt.Errorf("log: expected debug, info, warn or error, found %q", level)
	}
	config := zap.NewProductionConfig()
	config.Level = zap.NewAtomicLevelAt(at)
	config.Sampling = nil
	config.DisableStacktrace = true
	config.OutputPaths, config.ErrorOutputPaths = []string{"stdout"}, []string{"stderr"}
	config.EncoderConfig.EncodeTime = zapcore.ISO8601TimeEncoder
	config.EncoderConfig.TimeKey = "time"
	return config.Build()
}
