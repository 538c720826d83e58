using System.Globalization;
using FlickerProbe.Camera;
using FlickerProbe.Files.Results;
using FlickerProbe.Light;
using FlickerProbe.Measurement;
using FlickerProbe.Prediction;
using FlickerProbe.Room;
using FlickerProbe.Units;
using FlickerProbe.Verdict;

namespace FlickerProbe.Files.Pipeline;

/// <summary>A dimmer level, judged.</summary>
/// <param name="Result">As the result file has it.</param>
/// <param name="Judgement">Its verdict with reasons.</param>
/// <param name="Emitters">What was judged: luma or luminance first, then the channels that were measured.</param>
/// <param name="Formats">What it was judged for, with each verdict.</param>
/// <param name="Takes">The takes behind it.</param>
public sealed record JudgedLevel(
    LevelResult Result,
    Judgement Judgement,
    IReadOnlyList<JudgedEmitter> Emitters,
    IReadOnlyList<(CameraFormat Format, Judgement Judgement)> Formats,
    IReadOnlyList<TakeMeasurement> Takes)
{
    /// <summary>The level as people say it: <c>at 50 %</c>; empty when unknown.</summary>
    public string Name => Result.Dimmer is { } dimmer ? string.Create(CultureInfo.InvariantCulture, $"at {dimmer * 100:0.#} %") : "";
}

/// <summary>One light of a level with the takes that it was worked out from.</summary>
/// <param name="Light">The light.</param>
/// <param name="Takes">The takes, of this channel where there are several.</param>
public sealed record JudgedEmitter(LightEstimate Light, IReadOnlyList<TakeMeasurement> Takes);

/// <summary>The second half of the pipeline: the takes of one light at one dimmer level → one light → forecasts → verdict.</summary>
public static class LevelJudge
{
    /// <summary>Fuses, forecasts and judges.</summary>
    /// <param name="dimmer">The dimmer level, 0…1; null when unknown.</param>
    /// <param name="takes">Takes of one light at this level, at least one.</param>
    /// <param name="formats">What the verdict is for; empty: each take's own setting.</param>
    /// <param name="policy">The lines.</param>
    public static JudgedLevel Judge(double? dimmer, IReadOnlyList<MeasuredTake> takes, IReadOnlyList<CameraFormat> formats, Policy policy)
    {
        Emitter[] emitters = [.. Emitters(takes)];
        return Judge(emitters, formats, policy, new LevelResult
        {
            Dimmer = dimmer,
            Verdict = "",
            Light = LightRecord.Of(emitters[0].Light),
            Formats = [],
            Takes = [.. takes.Select(TakeRecord.Of)],
        });
    }

    /// <summary>Forecasts and judges a level of a result file anew, for other formats or by other lines. No clip is needed.</summary>
    /// <param name="level">The level as the result file has it, with at least one take.</param>
    /// <param name="formats">What the verdict is for; empty: each take's own setting.</param>
    /// <param name="policy">The lines.</param>
    public static JudgedLevel Judge(LevelResult level, IReadOnlyList<CameraFormat> formats, Policy policy)
    {
        IEnumerable<Emitter> channels = level.Takes
            .SelectMany(t => t.Channels ?? [], (take, channel) => (channel.Channel, Measurement: TakeRecord.Read(take, channel)))
            .GroupBy(c => c.Channel).Select(g => Emitter.Of(g.Key, [.. g.Select(c => c.Measurement)]));
        return Judge([Emitter.Of(null, [.. level.Takes.Select(TakeRecord.Read)], LightRecord.Read(level.Light)), .. channels], formats, policy, level);
    }

    private static JudgedLevel Judge(Emitter[] emitters, IReadOnlyList<CameraFormat> formats, Policy policy, LevelResult level)
    {
        IReadOnlyList<TakeMeasurement> takes = emitters[0].Takes;
        CameraFormat[] asked = [.. formats.Count > 0 ? formats.Select(f => WithReadout(f, takes)) : takes.Select(t => t.Take).Distinct()];
        double coloured = ColourBands.SureShare([.. emitters.Skip(1).Select(e => e.Takes)]);
        (FormatForecast Forecast, Judgement Judgement)[] judged = [.. asked.Select(format => Worst(format, emitters, coloured, policy))];
        Judgement judgement = Verdict.Judge.Level([.. judged.Select(j => (j.Forecast.Format.ToShortText(), j.Judgement))]);
        LevelResult result = level with
        {
            Verdict = Word(judgement.Ruling),
            Formats = [.. judged.Select(j => Record(j.Forecast, j.Judgement))],
            Room = new RoomResult([.. RoomView.Of(emitters[0].Light, policy.SvmThreshold)
                .Select(f => new Results.RoomFigure(f.Metric, f.Value, f.Unit, f.Line, f.Source, f.Remark))]),
        };
        return new JudgedLevel(result, judgement, [.. emitters.Select(e => new JudgedEmitter(e.Light, e.Takes))], [.. judged.Select(j => (j.Forecast.Format, j.Judgement))], takes);
    }

    /// <summary>One format as the result file has it.</summary>
    public static FormatResult Record(FormatForecast forecast, Judgement judgement) => new()
    {
        Camera = forecast.Format.CameraName,
        FrameRate = TakeRecord.RateText(forecast.Format.Rate),
        ExposureTime = forecast.Format.Exposure?.Seconds,
        ReadoutTime = forecast.Format.Readout?.Seconds,
        Verdict = Word(judgement.Ruling),
        ModulationDepth = forecast.ModulationDepth,
        BeatHz = forecast.BeatHz,
        Bands = forecast.Bands,
        Appearance = Phrase(forecast, judgement.Ruling),
        Reasons = [.. judgement.Reasons.Select(Record)],
    };

    /// <summary>A reason as the result file has it.</summary>
    public static ReasonResult Record(Reason reason) => new(reason.Code, reason.Message) { Line = reason.Line, Source = reason.Source };

    /// <summary>The verdict's word in the result file.</summary>
    public static string Word(Ruling ruling) => ruling switch
    {
        Ruling.Pass => "pass",
        Ruling.Watch => "watch",
        Ruling.Fail => "fail",
        _ => throw new ArgumentOutOfRangeException(nameof(ruling)),
    };

    /// <summary>Light is judged by luminance and by each channel that was measured, and the worst counts.</summary>
    private static IEnumerable<Emitter> Emitters(IReadOnlyList<MeasuredTake> takes)
    {
        yield return Emitter.Of(null, [.. takes.Select(t => t.Measurement)]);
        foreach (IGrouping<string, MeasuredChannel> channel in takes.SelectMany(t => t.Channels).GroupBy(c => c.Name))
            yield return Emitter.Of(channel.Key, [.. channel.Select(c => c.Measurement)]);
    }

    private static (FormatForecast Forecast, Judgement Judgement) Worst(CameraFormat format, Emitter[] emitters, double coloured, Policy policy)
    {
        (Emitter Emitter, FormatForecast Forecast, Judgement Judgement)[] all = [.. emitters.Select(e => e.At(format, policy) is var at ? (e, at.Forecast, at.Judgement) : default)];
        // Where none is surely worse, what all of them give together speaks.
        double together = all[0].Forecast.ModulationDepth.High;
        (Emitter worst, FormatForecast forecast, Judgement judgement) = all
            .OrderByDescending(j => j.Judgement.Ruling)
            .ThenByDescending(j => j.Forecast.ModulationDepth.Low > together ? j.Forecast.ModulationDepth.High : 0)
            .ThenByDescending(j => j.Emitter.Channel is null)
            .ThenByDescending(j => j.Forecast.ModulationDepth.High)
            .First();
        forecast = forecast with { IsColoured = ColourBands.Show(forecast.ModulationDepth, coloured) };
        (string Name, Estimate Depth)[] channels = [.. all.Where(a => a.Emitter.Channel is not null).Select(a => (a.Emitter.Channel!, a.Forecast.ModulationDepth))];
        if (worst.Channel is null)
        {
            if (judgement.Ruling != Ruling.Pass || channels.Length == 0) return (forecast, judgement);
            string bound = ColourWords.Bound(channels);
            return (forecast, judgement with { Reasons = [.. judgement.Reasons.Select((r, n) => n == 0 ? r with { Message = $"{r.Message} {bound}" } : r)] });
        }
        string? colours = ColourWords.Of(channels, policy.Depth);
        return (forecast, judgement with
        {
            Reasons = [.. judgement.Reasons.Select((r, n) => r with
            {
                Message = n == 0 && colours is not null ? $"{colours}. In {worst.Channel} light: {r.Message}" : $"In {worst.Channel} light: {r.Message}",
            })],
        });
    }

    /// <summary>A format that names no readout but has the rate of a take is taken to be that take's mode of the camera.</summary>
    private static CameraFormat WithReadout(CameraFormat format, IReadOnlyList<TakeMeasurement> takes) => format.Readout is not null
        ? format
        : format with
        {
            Readout = takes.Select(t => t.Take)
                .FirstOrDefault(t => t.Rate == format.Rate && t.Readout is not null && (format.CameraName is null || t.CameraName is null || t.CameraName == format.CameraName))?.Readout,
        };

    private static string Phrase(FormatForecast forecast, Ruling ruling) => (forecast.Appearance, forecast.IsColoured) switch
    {
        (Appearance.Nothing, _) => ruling == Ruling.Pass ? "nothing that shows" : "nothing seen, which here proves nothing",
        (Appearance.Pulsing, false) => "the whole picture pulses",
        (Appearance.Pulsing, true) => "the whole picture changes colour",
        (Appearance.RollingBands, false) => "rolling bands: they move through the picture",
        (Appearance.RollingBands, true) => "rolling colour bands: they move through the picture",
        (Appearance.StandingBands, false) => "standing bands: they do not move",
        (Appearance.StandingBands, true) => "standing colour bands: they do not move",
        (Appearance.RollingOrPulsing, false) => "rolling bands, or the whole picture pulses (readout unknown)",
        (Appearance.RollingOrPulsing, true) => "rolling colour bands, or the whole picture changes colour (readout unknown)",
        (Appearance.Bands, false) => "bands; a still can't tell whether they move",
        (Appearance.Bands, true) => "colour bands; a still can't tell whether they move",
        _ => throw new ArgumentOutOfRangeException(nameof(forecast)),
    };

    private sealed record Emitter(string? Channel, IReadOnlyList<TakeMeasurement> Takes, LightEstimate Light, Forecaster Forecaster)
    {
        public static Emitter Of(string? channel, IReadOnlyList<TakeMeasurement> takes, LightEstimate? light = null)
        {
            IReadOnlyList<TakeMeasurement> counting = Retakes.Counting(takes);
            light ??= LightFusion.Fuse(counting);
            return new(channel, counting, light, new Forecaster(light));
        }

        public (FormatForecast Forecast, Judgement Judgement) At(CameraFormat format, Policy policy)
        {
            FormatForecast forecast = DirectMeasurement.Apply(Forecaster.At(format), Takes);
            forecast = forecast with { Doubts = [.. Light.Findings, .. forecast.Doubts] };
            Judgement judgement = Verdict.Judge.Format(forecast, Takes, policy);
            return (forecast, judgement);
        }
    }
}
