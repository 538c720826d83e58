using FlickerProbe.Cli;
using FlickerProbe.Cli.Terminal;

return await new Application(Streams.OfThisProcess()).RunAsync(args);
