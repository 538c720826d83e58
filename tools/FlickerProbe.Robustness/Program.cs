using FlickerProbe.Robustness;

return RobustnessCommand.Create().Parse(args).Invoke();
