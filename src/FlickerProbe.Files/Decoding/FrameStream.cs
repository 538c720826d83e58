using System.Diagnostics.CodeAnalysis;
using FlickerProbe.Light;

namespace FlickerProbe.Files.Decoding;

/// <summary>The whole coded pictures of a clip, one after the other, for looking over the picture rather than measuring a region of it.</summary>
[SuppressMessage("Naming", "CA1711", Justification = "It is a stream of frames.")]
public sealed class FrameStream : IDisposable
{
    private readonly RawFrames _frames;
    private readonly double[][] _tables;

    private FrameStream(ClipInfo info, RawFrames frames, TransferFunction transfer, SignalRange range)
    {
        Info = info;
        _frames = frames;
        Scale = new SignalScale(range, info.Pixels.Depth);
        LuminanceWeights shares = info.Primaries;
        _tables = info.Pixels.Model == ColourModel.RedGreenBlue
            ? [LightTable.Build(transfer, Scale, shares.Red), LightTable.Build(transfer, Scale, shares.Green), LightTable.Build(transfer, Scale, shares.Blue)]
            : [LightTable.Build(transfer, Scale)];
    }

    /// <summary>The clip.</summary>
    public ClipInfo Info { get; }

    /// <summary>Range and depth of the codes.</summary>
    public SignalScale Scale { get; }

    /// <summary>Columns of the coded picture.</summary>
    public int Width => _frames.Crop.Width;

    /// <summary>Rows of the coded picture: sensor rows.</summary>
    public int Height => _frames.Crop.Height;

    /// <summary>Whether codes take more than 8 bits: then <see cref="WordRow"/> gives them, else <see cref="ByteRow"/>.</summary>
    public bool IsWide => _frames.IsWide;

    /// <summary>Pictures read so far.</summary>
    public int FramesRead => _frames.FramesRead;

    /// <summary>Starts reading.</summary>
    /// <param name="info">The clip, as probed.</param>
    /// <param name="everyNth">Take the first of every so many pictures; 1 for all.</param>
    /// <param name="transfer">Curve to undo in <see cref="Light"/>; null for the clip's own.</param>
    /// <param name="range">Range of the codes; null for the clip's own.</param>
    /// <param name="programs">Which programs to start; null for the usual ones.</param>
    /// <param name="part">Only a few pictures from about a moment on; null for the whole clip.</param>
    /// <param name="withColour">Whether colour differences are wanted beside luma, as channels 1 and 2.</param>
    /// <param name="cancel">Ends the child.</param>
    /// <exception cref="ProgramMissingException">ffmpeg can't be started.</exception>
    public static FrameStream Open(
        ClipInfo info, int everyNth = 1, TransferFunction? transfer = null, SignalRange? range = null, DecoderPrograms? programs = null,
        ClipPart? part = null, bool withColour = false, CancellationToken cancel = default)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(everyNth);
        RawFrames frames = RawFrames.Open(info, new CodedRect(0, 0, info.Width, info.Height), lumaOnly: !withColour, everyNth, wholeFrames: true, programs ?? DecoderPrograms.Default, cancel, part);
        return new FrameStream(info, frames, transfer ?? info.Transfer, range ?? info.Range);
    }

    /// <summary>Reads the next picture.</summary>
    /// <returns>False after the last one.</returns>
    /// <exception cref="ClipException">Nothing could be decoded, the picture changes its size, or the decoder hangs.</exception>
    public bool Next()
    {
        if (_frames.NextFrame()) return true;
        _frames.Finish();
        return false;
    }

    /// <summary>8-bit luma codes of a row (red, green or blue ones for an RGB clip; where asked for, colour differences, whose rows and columns may
    /// be fewer); valid until the next call.</summary>
    public ReadOnlySpan<byte> ByteRow(int row, int channel = 0) => _frames.ByteRow(channel, row);

    /// <summary>As <see cref="ByteRow"/> for codes of more than 8 bits.</summary>
    public ReadOnlySpan<ushort> WordRow(int row, int channel = 0) => _frames.WordRow(channel, row);

    /// <summary>Linear light of each pixel of a row, 1 at nominal white.</summary>
    /// <param name="row">Row of the coded picture.</param>
    /// <param name="light">Takes <see cref="Width"/> numbers.</param>
    public void Light(int row, Span<float> light)
    {
        light[..Width].Clear();
        for (int channel = 0; channel < _tables.Length; channel++)
        {
            double[] table = _tables[channel];
            if (IsWide)
            {
                ReadOnlySpan<ushort> codes = _frames.WordRow(channel, row);
                for (int x = 0; x < codes.Length; x++) light[x] += (float)table[codes[x] & (table.Length - 1)];
            }
            else
            {
                ReadOnlySpan<byte> codes = _frames.ByteRow(channel, row);
                for (int x = 0; x < codes.Length; x++) light[x] += (float)table[codes[x]];
            }
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _frames.Dispose();
}
