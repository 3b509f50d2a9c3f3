module pipelag/testdata/cvode

go 1.26.8

require pipelag v0.0.0

require (
	go.yaml.in/yaml/v4 v4.0.0 // indirect
	gonum.org/v1/gonum v0.17.0 // indirect
)

replace pipelag => ../..
