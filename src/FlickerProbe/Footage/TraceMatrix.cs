namespace FlickerProbe.Footage;

/// <summary>Row traces while they are being filled, frame after frame.</summary>
public sealed class TraceMatrix
{
    private readonly float[][] _strips;
    private readonly int _rows;
    private int _capacity;

    /// <summary>Room for the frames that are expected; more make it grow.</summary>
    public TraceMatrix(int strips, int rows, int expectedFrames)
    {
        _rows = rows;
        _capacity = Math.Max(1, expectedFrames);
        _strips = new float[strips][];
        for (int strip = 0; strip < strips; strip++) _strips[strip] = Plane(checked(_capacity * rows));
    }

    /// <summary>Number of strips.</summary>
    public int Strips => _strips.Length;

    /// <summary>Sets one entry.</summary>
    public void Set(int strip, int frame, int row, double light)
    {
        if (frame >= _capacity) Grow(frame);
        _strips[strip][frame * _rows + row] = (float)light;
    }

    /// <summary>The finished traces.</summary>
    /// <param name="frames">Whole frames that were filled.</param>
    /// <param name="firstCodedRow">Row of the coded picture that row 0 is.</param>
    /// <param name="codedHeight">Rows of the coded picture.</param>
    public RowTraces ToTraces(int frames, int firstCodedRow, int codedHeight) => new(_strips, frames, _rows, firstCodedRow, codedHeight);

    private void Grow(int frame)
    {
        _capacity = checked(Math.Max(frame + 1, _capacity + _capacity / 2));
        for (int strip = 0; strip < _strips.Length; strip++)
        {
            float[] wider = Plane(checked(_capacity * _rows));
            _strips[strip].CopyTo(wider, 0);
            _strips[strip] = wider;
        }
    }

    // Planes that the run-time may move are in memory twice while it does, also the part that no frame has filled yet.
    private static float[] Plane(int length) => GC.AllocateArray<float>(length, pinned: true);
}
