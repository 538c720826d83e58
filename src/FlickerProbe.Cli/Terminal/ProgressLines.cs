using System.Globalization;
using FlickerProbe.Files.Pipeline;

namespace FlickerProbe.Cli.Terminal;

/// <summary>Progress for a log file: one line when a piece of work begins, and one for each further quarter, with the time left where that is long.</summary>
/// <param name="error">Where the lines go.</param>
/// <param name="clock">Tells how long a piece of work has taken so far.</param>
internal sealed class ProgressLines(TextWriter error, TimeProvider clock) : IProgress<StageProgress>
{
    private static readonly TimeSpan WorthTelling = TimeSpan.FromSeconds(20);

    private readonly Dictionary<string, (int Quarters, long Began)> _said = [];
    private readonly Lock _lock = new();

    /// <inheritdoc/>
    public void Report(StageProgress value)
    {
        double share = Math.Clamp(value.Share ?? 0, 0, 1);
        int quarters = (int)(share * 4);
        lock (_lock)
        {
            bool isKnown = _said.TryGetValue(value.Work, out (int Quarters, long Began) said);
            if (isKnown && quarters <= said.Quarters) return;
            long began = isKnown ? said.Began : clock.GetTimestamp();
            _said[value.Work] = (quarters, began);
            string work = SafeText.Line(value.Work);
            error.WriteLine(quarters == 0 ? work : string.Create(CultureInfo.InvariantCulture, $"{work}: {quarters * 25} %{Left(clock.GetElapsedTime(began), share)}"));
        }
    }

    private static string Left(TimeSpan taken, double share)
    {
        TimeSpan left = taken * ((1 - share) / share);
        return left < WorthTelling ? ""
            : left.TotalMinutes < 2 ? string.Create(CultureInfo.InvariantCulture, $", about {left.TotalSeconds:0} s left")
            : string.Create(CultureInfo.InvariantCulture, $", about {left.TotalMinutes:0} min left");
    }
}
