using FlickerProbe.Bench;

return BenchCommand.Create().Parse(args).Invoke();
