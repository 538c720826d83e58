using FlickerProbe.Measurement;
using FlickerProbe.Rendering.Light;
using Xunit;

namespace FlickerProbe.Tests.Measurement;

public class EstimatorOptionsTests
{
    [Fact]
    public void Whoever_asked_is_told_between_rounds_and_nothing_changes_by_it()
    {
        var scene = new SyntheticTake { Light = new PulseLight { FrequencyHz = 1215, Duty = 0.4, Low = 0.8 }, Frames = 120, Rows = 90 };
        int told = 0;
        TakeMeasurement asked = TakeEstimator.Measure(scene.Make(), new EstimatorOptions(WithExhibit: false, () => told++), CancellationToken.None);
        TakeMeasurement not = TakeEstimator.Measure(scene.Make(), new EstimatorOptions(WithExhibit: false), CancellationToken.None);

        Assert.True(told >= 2);
        Assert.Equal(not.ModulationDepth, asked.ModulationDepth);
        Assert.Equal(not.Tones.Select(t => t.Amplitude), asked.Tones.Select(t => t.Amplitude));
    }
}
