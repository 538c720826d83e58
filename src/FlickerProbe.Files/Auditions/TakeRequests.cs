using FlickerProbe.Files.Decoding;
using FlickerProbe.Files.Pipeline;
using FlickerProbe.Light;

namespace FlickerProbe.Files.Auditions;

/// <summary>Says a take of an audition file the way the pipeline wants it.</summary>
internal static class TakeRequests
{
    /// <exception cref="Units.InputException">The camera's transfer curve is none.</exception>
    internal static TakeRequest Of(Audition audition, AuditionTake take, AuditionOptions options)
    {
        AuditionCamera? camera = audition.Camera(take.Camera);
        return new TakeRequest
        {
            Clip = take.ClipPath,
            ClipName = take.Clip,
            Shutter = take.Shutter is null ? null : GivenShutter.Parse(take.Shutter),
            Readout = camera?.Readout,
            FrameRate = take.Rate,
            Regions = take.Region is null ? [] : [take.Region],
            Reference = take.ReferencePath,
            Transfer = camera?.Transfer is null ? null : Curve(audition, camera.Transfer),
            Colour = options.Colour,
            WithPictures = options.WithPictures,
        };
    }

    /// <summary>A named curve, or a table beside the audition file.</summary>
    internal static TransferFunction Curve(Audition audition, string text) =>
        text.EndsWith(".cube", StringComparison.OrdinalIgnoreCase) ? CurveFile.Read(Path.Combine(audition.Folder, text)) : TransferFunction.Parse(text);
}
