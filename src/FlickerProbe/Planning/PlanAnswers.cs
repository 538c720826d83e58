using FlickerProbe.Camera;
using FlickerProbe.Units;

namespace FlickerProbe.Planning;

/// <summary>Turns what people write about their evening into a request for a plan.</summary>
public static class PlanAnswers
{
    /// <summary>Reads a camera: <c>hall=25,29.97@1/50,1/100,1/250@16ms</c>; shutters and readout may be left out.</summary>
    /// <exception cref="InputException">The text is no camera.</exception>
    public static PlanCamera Camera(string text)
    {
        int equals = text.IndexOf('=', StringComparison.Ordinal);
        string[] parts = equals < 0 ? [] : text[(equals + 1)..].Split('@');
        if (equals <= 0 || parts.Length > 3)
            throw new InputException($"'{text}' is not a camera: write NAME=RATES@SHUTTERS@READOUT, such as hall=25,29.97@1/50,1/100,1/250@16ms; leave out what is unknown.");
        return Camera(text[..equals].Trim(), parts[0], parts.ElementAtOrDefault(1) ?? "", parts.ElementAtOrDefault(2) ?? "");
    }

    /// <summary>Reads a camera from the answers about it.</summary>
    /// <param name="name">The venue's name for it.</param>
    /// <param name="rates">Frame rates, separated by commas.</param>
    /// <param name="shutters">Shutters, separated by commas; empty when it sets them by itself.</param>
    /// <param name="readout">Readout time; empty or <c>unknown</c> when unknown.</param>
    /// <exception cref="InputException">An answer can't be read.</exception>
    public static PlanCamera Camera(string name, string rates, string shutters, string readout)
    {
        FrameRate[] offered = [.. List(rates).Select(FrameRate.Parse).Distinct()];
        if (offered.Length == 0) throw new InputException($"Which frame rates does the camera '{name}' offer? Write them separated by commas, such as 25, 29.97, 50.");
        string[] times = [.. List(shutters).Distinct()];
        foreach (string shutter in times) ExposureTime.Parse(shutter, FrameRate.FromRational(1, 1));
        return new PlanCamera(name, offered, times, readout.Trim() is "" or "unknown" ? null : ReadoutTime.Parse(readout));
    }

    /// <summary>Reads a house format: <c>25@1/50</c>, or <c>hall=25@1/50</c> for one of several cameras.</summary>
    /// <param name="text">The format.</param>
    /// <param name="cameras">The cameras; a single one is meant where none is named.</param>
    /// <exception cref="InputException">The text is no format, or names a camera that is not there.</exception>
    public static CameraFormat Format(string text, IReadOnlyList<PlanCamera> cameras)
    {
        int equals = text.IndexOf('=', StringComparison.Ordinal);
        string? name = equals > 0 ? text[..equals].Trim() : cameras.Count == 1 ? cameras[0].Name : null;
        CameraFormat format = CameraFormat.Parse(text[(equals + 1)..]);
        // A readout of the format's own belongs to no camera of the list.
        return format.Readout is not null && equals <= 0 ? format : format with { CameraName = name };
    }

    /// <summary>Reads the mains frequency; null for unknown.</summary>
    /// <exception cref="InputException">The text is no mains frequency.</exception>
    public static double? Mains(string text)
    {
        if (text.Trim() is "" or "unknown") return null;
        return Parsing.Hertz(text) is { } hertz and >= 15 and <= 450 ? hertz : throw new InputException($"'{text}' is not a mains frequency: write 50Hz or 60Hz.");
    }

    /// <summary>Reads dimmer levels separated by commas.</summary>
    /// <exception cref="InputException">One of them is no level.</exception>
    public static IReadOnlyList<double> Levels(string text) =>
        [.. List(text).Select(level => Parsing.Share(level) ?? throw new InputException($"'{level}' is not a dimmer level: write levels from 0% to 100% separated by commas, such as 100%, 50%, 10%.")).Distinct()];

    /// <summary>Reads yes or no.</summary>
    /// <exception cref="InputException">The text is neither.</exception>
    public static bool YesNo(string text) => text.Trim().ToLowerInvariant() switch
    {
        "yes" or "y" or "true" => true,
        "no" or "n" or "false" => false,
        _ => throw new InputException($"'{text}' is neither yes nor no: write one of them."),
    };

    /// <summary>The words of a list separated by commas.</summary>
    public static IReadOnlyList<string> List(string text) => text.Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries);
}
