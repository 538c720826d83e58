namespace FlickerProbe.Footage;

/// <summary>The matrix that everything is measured from: mean linear light of each sensor row of the region, for each frame and each column strip.</summary>
/// <remarks>
/// Linear light is relative to nominal white (1 = signal scale 100 %, undone per pixel before averaging). Rows are rows of the coded
/// picture, that is of the sensor, whatever way the picture is displayed. Storage is one float per (strip, frame, row).
/// </remarks>
public sealed class RowTraces
{
    private readonly float[][] _strips;

    /// <summary>Wraps the data.</summary>
    /// <param name="strips">One array per column strip, each frames × rows, row index fastest.</param>
    /// <param name="frames">Number of frames, at least 1.</param>
    /// <param name="rows">Number of rows, at least 1.</param>
    /// <param name="firstCodedRow">Row of the coded picture that row 0 is.</param>
    /// <param name="codedHeight">Rows H of the whole coded picture; readout time is for all of them.</param>
    public RowTraces(float[][] strips, int frames, int rows, int firstCodedRow, int codedHeight)
    {
        ArgumentNullException.ThrowIfNull(strips);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(frames);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(rows);
        ArgumentOutOfRangeException.ThrowIfZero(strips.Length, nameof(strips));
        foreach (float[] strip in strips)
        {
            if (strip.Length < (long)frames * rows) throw new ArgumentException("A strip is smaller than frames × rows.", nameof(strips));
        }
        _strips = strips;
        Frames = frames;
        Rows = rows;
        FirstCodedRow = firstCodedRow;
        CodedHeight = codedHeight;
    }

    /// <summary>Number of frames read.</summary>
    public int Frames { get; }

    /// <summary>Number of sensor rows in the region.</summary>
    public int Rows { get; }

    /// <summary>Row of the coded picture that row 0 is.</summary>
    public int FirstCodedRow { get; }

    /// <summary>Rows H of the whole coded picture.</summary>
    public int CodedHeight { get; }

    /// <summary>Number of column strips.</summary>
    public int Strips => _strips.Length;

    /// <summary>One strip, frames × rows with the row index fastest; entry [frame * Rows + row].</summary>
    /// <exception cref="ObjectDisposedException">The light was released.</exception>
    public ReadOnlySpan<float> Strip(int strip)
    {
        ObjectDisposedException.ThrowIf(_strips[strip] is null, this);
        return _strips[strip].AsSpan(0, Frames * Rows);
    }

    /// <summary>Lets go of the light, which takes most of a program's memory, as soon as all has been worked out from it; the shape stays. Whoever filled the
    /// arrays loses them too.</summary>
    public void Release() => Array.Clear(_strips);
}
