using FlickerProbe.Camera;
using FlickerProbe.Units;
using static System.Math;

namespace FlickerProbe.Planning;

/// <summary>Chooses the fewest takes that resolve frequency and depth for the lights that may turn up.</summary>
/// <remarks>Nothing is wired in: every set of up to three settings that a camera offers is held against the lights of <see cref="PlausibleLight.Set"/>,
/// with and without a calibration take, and the one with the fewest clips is taken among those that come near the best.</remarks>
public static class Planner
{
    /// <summary>A set that resolves this much less than the best one is still good enough if it needs fewer clips.</summary>
    private const double GoodEnough = 0.03;

    /// <summary>Plans the takes.</summary>
    /// <exception cref="InputException">There is no camera, no fixture, or no setting to shoot with.</exception>
    public static ShotPlan Plan(PlanRequest request)
    {
        if (request.Cameras.Count == 0) throw new InputException("A plan needs at least one camera: give its name and the frame rates and shutters it offers.");
        if (request.Fixtures.Count == 0) throw new InputException("A plan needs at least one fixture: name the candidates.");
        foreach (PlanCamera camera in request.Cameras)
        {
            if (camera.Settings().Count == 0)
                throw new InputException($"The camera '{camera.Name}' offers no shutter that fits into a frame at its rates: give its frame rates and shutters again.");
        }

        IReadOnlyList<PlausibleLight> lights = PlausibleLight.Set(request.MainsHz, request.Formats);
        List<(SettingScores Scores, SettingChoice Choice)> choices = [];
        foreach (PlanCamera camera in request.Cameras)
        {
            foreach (bool calibrate in CanCalibrate(camera, request.MainsHz) ? new[] { false, true } : [false])
            {
                var scores = new SettingScores(camera, calibrate, lights);
                choices.AddRange(scores.BestOfEachSize().Select(choice => (scores, choice)));
            }
        }
        double best = choices.Max(c => c.Choice.Share);
        // Order of the cameras breaks ties: the first is the preferred one. OrderBy is stable.
        (SettingScores taken, SettingChoice chosen) = choices.Where(c => c.Choice.Share >= best - GoodEnough)
            .OrderBy(c => c.Choice.Clips(request.Fixtures.Count)).ThenByDescending(c => Round(c.Choice.Share, 2)).First();

        IReadOnlyList<PlannedTake> takes = ShotOrder.Arrange(request, chosen, PlanPurpose.OfEach(chosen, taken, lights));
        List<PlanCoverage> coverage = [.. Coverage(chosen, lights)];
        return new ShotPlan(request, takes, coverage, PlanAdvice.SetUp(request, takes), PlanAdvice.Cautions(request, chosen, coverage));
    }

    // A rolling readout that nobody knows, and a mains that somebody does.
    private static bool CanCalibrate(PlanCamera camera, double? mainsHz) =>
        camera.Readout is null && mainsHz is { } hertz && Calibration.Setting(camera, hertz) is not null;

    private static IEnumerable<PlanCoverage> Coverage(SettingChoice chosen, IReadOnlyList<PlausibleLight> lights)
    {
        foreach (LightKind kind in Enum.GetValues<LightKind>())
        {
            var of = lights.Select((light, i) => (Light: light, Resolved: chosen.Resolved[i])).Where(x => x.Light.Kind == kind).ToList();
            yield return new PlanCoverage(kind, Min(1, of.Where(x => x.Resolved).Sum(x => x.Light.Weight)),
                [.. of.Where(x => !x.Resolved).OrderByDescending(x => x.Light.Weight).Take(5).Select(x => x.Light.FrequencyHz).Order()]);
        }
    }
}
