using FlickerProbe.Validation;

return ValidateCommand.Create().Parse(args).Invoke();
