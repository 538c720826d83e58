using System.Globalization;
using FlickerProbe.Files.Pipeline;

namespace FlickerProbe.Cli.Terminal;

/// <summary>Progress for a log file: one line when a piece of work begins, and one for each further quarter.</summary>
internal sealed class ProgressLines(TextWriter error) : IProgress<StageProgress>
{
    private readonly Dictionary<string, int> _quartersSaid = [];
    private readonly Lock _lock = new();

    /// <inheritdoc/>
    public void Report(StageProgress value)
    {
        int quarters = (int)(Math.Clamp(value.Share ?? 0, 0, 1) * 4);
        lock (_lock)
        {
            if (_quartersSaid.TryGetValue(value.Work, out int said) && quarters <= said) return;
            _quartersSaid[value.Work] = quarters;
            string work = SafeText.Line(value.Work);
            error.WriteLine(quarters == 0 ? work : string.Create(CultureInfo.InvariantCulture, $"{work}: {quarters * 25} %"));
        }
    }
}
