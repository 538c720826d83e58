using FlickerProbe.Cli.Terminal;
using FlickerProbe.Files.Pipeline;
using Xunit;

namespace FlickerProbe.Tests.Cli;

public class ProgressLinesTests
{
    [Fact]
    public void A_long_piece_of_work_tells_at_each_quarter_what_is_left()
    {
        var clock = new HandClock();
        using var text = new StringWriter();
        var lines = new ProgressLines(text, clock);
        lines.Report(new StageProgress("half an hour: reading", 0));
        clock.Seconds = 100;
        lines.Report(new StageProgress("half an hour: reading", 0.26));
        lines.Report(new StageProgress("half an hour: reading", 0.27));
        clock.Seconds = 300;
        lines.Report(new StageProgress("half an hour: reading", 0.8));
        clock.Seconds = 375;
        lines.Report(new StageProgress("half an hour: reading", 1));

        // 100 s · 0.74 / 0.26 = 285 s; 300 s · 0.2 / 0.8 = 75 s.
        Assert.Equal(["half an hour: reading", "half an hour: reading: 25 %, about 5 min left", "half an hour: reading: 75 %, about 75 s left", "half an hour: reading: 100 %"],
            text.ToString().Split(Environment.NewLine, StringSplitOptions.RemoveEmptyEntries));
    }

    private sealed class HandClock : TimeProvider
    {
        public double Seconds { get; set; }

        public override long TimestampFrequency => 1000;

        public override long GetTimestamp() => (long)(Seconds * 1000);
    }
}
